// firmus tone MELODY --to FILE.wav
#include "firmus/tone.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "commands.hpp"
#include "firmus/sound_writer.hpp"
#include "out_folder.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

constexpr double longest_minutes = 60;  // of sound: 520 MB as WAV

struct RawTone {
  std::vector<std::string> melodies;
  std::optional<std::string> to, drone, tempo, transpose;
};

struct TonePlan {
  Melody melody;
  ToneOptions options;
  std::string to;
  SoundFormat format = SoundFormat::wav;
};

SoundFormat format_of(const std::string& path) {
  const std::string ending = std::filesystem::path(path).extension().string();
  if (ending == ".wav") return SoundFormat::wav;
  if (ending == ".flac") return SoundFormat::flac;
  wrong_usage(fmt::format("--to is \"{}\"", path), "a name that ends in .wav or .flac would be right");
}

Melody melody_of(const RawTone& raw) {
  if (raw.melodies.empty()) wrong_usage("no melody is given", "write firmus tone MELODY --to FILE.wav");
  if (raw.melodies.size() > 1) wrong_usage("more than one melody is given", "write firmus tone MELODY for each");
  return read_melody_file(path_value("MELODY", raw.melodies.front()));
}

void check_can_sound(const TonePlan& plan) {
  constexpr double lowest_hz = 16, highest_hz = 16000;
  const std::vector<ToneSpan> spans = tone_spans(plan.melody, plan.options);
  for (const ToneSpan& span : spans)
    if (span.hz < lowest_hz || span.hz > highest_hz)
      wrong_usage(fmt::format("a note would sound at {:.0f} Hz", span.hz), "stay between 16 and 16000 Hz");
  if (static_cast<double>(tone_length(spans)) > longest_minutes * 60 * tone_rate_hz)
    wrong_usage("the tones would last over an hour", "give a faster --tempo or a shorter melody");
}

TonePlan resolve(const RawTone& raw) {
  TonePlan plan;
  if (!raw.to) wrong_usage("--to is missing", "write firmus tone MELODY --to FILE.wav");
  plan.to = path_value("--to", *raw.to);
  plan.format = format_of(plan.to);
  if (raw.drone) plan.options.drone = note_value("--drone", *raw.drone);
  if (raw.tempo) plan.options.beats_per_minute = number_value("--tempo", *raw.tempo, {5, 600, false});
  if (raw.transpose) plan.options.transpose_semitones = whole_value("--transpose", *raw.transpose, -48, 48);
  plan.melody = melody_of(raw);
  check_can_sound(plan);
  return plan;
}

void write_tones(const TonePlan& plan) {
  const std::string folder = std::filesystem::path(plan.to).parent_path().string();
  if (!folder.empty() && !std::filesystem::is_directory(folder)) make_folder("--to", folder);
  if (std::filesystem::is_directory(plan.to)) wrong_usage("--to: " + plan.to + " is a folder", "name a file");
  SoundWriter writer(plan.to, plan.format, tone_rate_hz);
  make_tones(plan.melody, plan.options, [&](std::span<const float> block) { writer.write(block); });
  writer.finish();
}

}  // namespace

ExitStatus run_tone(int argc, const char* const* argv) {
  RawTone raw;
  Arguments arguments("firmus tone",
                      "The melody as reference tones, in its tuning and at its concert pitch: to sing or play after.",
                      "  firmus tone lantern.melody --to lantern.wav\n"
                      "  firmus tone lantern.melody --drone D3 --tempo 60 --to practice/lantern.flac\n"
                      "\n"
                      "Set the level on a quiet tone first. Grace notes do not sound.");
  arguments.positionals("MELODY", "the melody", raw.melodies);
  arguments.option("--to", "FILE", "the file to write, .wav or .flac; one that is there is replaced", raw.to);
  arguments.option("--drone", "NOTE", "a note that sounds softly below all the others, such as D3", raw.drone);
  arguments.option("--tempo", "BEATS", "beats a minute, in place of the melody's own tempo", raw.tempo);
  arguments.option("--transpose", "SEMITONES", "higher (or lower, with a minus) than written", raw.transpose);
  if (arguments.parse(argc, argv) == Asked::for_help) return show_help(arguments);
  write_tones(resolve(raw));
  return done;
}

}  // namespace firmus::cli
