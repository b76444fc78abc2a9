// firmus tone MELODY --to FILE.wav
#include "firmus/tone.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "base/system/terminal.hpp"
#include "batch/out_folder.hpp"
#include "commands.hpp"
#include "firmus/sound_writer.hpp"
#include "line_options.hpp"
#include "settings_options.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

constexpr double longest_minutes = 60;  // of sound: 520 MB as WAV
constexpr std::string_view to_output = "-";

struct RawTone {
  std::vector<std::string> melodies;
  std::optional<std::string> to, drone, tempo, transpose, count_in, contrast, gain;
  RawSettings tuning;
  RawLine line;
};

struct TonePlan {
  Melody melody;
  ToneOptions options;
  std::string to;
  SoundFormat format = SoundFormat::wav;
};

SoundFormat format_of(const std::string& path) {
  if (path == to_output) return SoundFormat::wav;
  const std::string file_ending = std::filesystem::path(path).extension().string();
  if (file_ending == ".wav") return SoundFormat::wav;
  if (file_ending == ".flac") return SoundFormat::flac;
  usage_error(fmt::format("--to is \"{}\"", path), "a name that ends in .wav or .flac, or -, would be right");
}

Melody melody_of(const RawTone& raw) {
  if (raw.melodies.empty()) usage_error("no melody is given", "write firmus tone MELODY --to FILE.wav");
  if (raw.melodies.size() > 1) usage_error("more than one melody is given", "write firmus tone MELODY for each");
  std::optional<Melody> melody = read_melody_file(path_value("MELODY", raw.melodies.front()), resolve(raw.line));
  apply_overrides(resolve(raw.tuning), melody);
  return *std::move(melody);
}

double contrast_of(const std::string& text) {
  const double cents = number_value("--contrast", text, {-100, 100});
  if (cents == 0) usage_error("--contrast: 0 cents are no contrast", "give how far off, such as -20 for 20 cents flat");
  return cents;
}

ToneOptions options_of(const RawTone& raw) {
  constexpr int longest_count_in = 64;
  constexpr double softest_db = -60;
  ToneOptions options;
  if (raw.drone) options.drone = note_value("--drone", *raw.drone);
  if (raw.tempo) options.beats_per_minute = number_value("--tempo", *raw.tempo, {5, 600, false});
  if (raw.transpose) options.transpose_semitones = whole_value("--transpose", *raw.transpose, -48, 48);
  if (raw.count_in) options.count_in_beats = whole_value("--count-in", *raw.count_in, 0, longest_count_in);
  if (raw.contrast) options.contrast_cents = Cents(contrast_of(*raw.contrast));
  if (raw.gain) options.gain_db = number_value("--gain", *raw.gain, {softest_db, highest_gain_db});
  return options;
}

void check_can_sound(std::string_view what, double hz) {
  constexpr double lowest_hz = 16, highest_hz = 16000;
  if (hz < lowest_hz || hz > highest_hz)
    usage_error(fmt::format("{} would sound at {:.0f} Hz", what, hz), "stay between 16 and 16000 Hz");
}

void check_can_sound(const TonePlan& plan) {
  const std::vector<ToneSpan> spans = tone_spans(plan.melody, plan.options);
  for (const ToneSpan& span : spans) check_can_sound("a note", span.hz);
  if (const auto hz = drone_hz(plan.melody, plan.options)) check_can_sound("the drone", *hz);
  if (static_cast<double>(tone_length(spans)) > longest_minutes * 60 * tone_rate_hz)
    usage_error("the tones would last over an hour", "give a faster --tempo or a shorter melody");
}

TonePlan resolve(const RawTone& raw) {
  TonePlan plan;
  if (!raw.to) usage_error("--to is missing", "write firmus tone MELODY --to FILE.wav");
  plan.to = path_value("--to", *raw.to);
  plan.format = format_of(plan.to);
  if (plan.to == to_output && system::output_is_terminal())
    usage_error("--to -: standard output is a terminal",
                "send it to a file or a player: firmus tone MELODY --to - > FILE.wav");
  plan.options = options_of(raw);
  plan.melody = melody_of(raw);
  check_can_sound(plan);
  return plan;
}

SoundWriter writer_of(const TonePlan& plan) {
  if (plan.to == to_output) {
    require_output();
    return SoundWriter(put, plan.format, tone_rate_hz);
  }
  const std::string folder = std::filesystem::path(plan.to).parent_path().string();
  if (!folder.empty() && !std::filesystem::is_directory(folder)) batch::make_folder("--to", folder);
  if (std::filesystem::is_directory(plan.to)) usage_error("--to: " + plan.to + " is a folder", "name a file");
  return SoundWriter(plan.to, plan.format, tone_rate_hz);
}

void write_tones(const TonePlan& plan) {
  SoundWriter writer = writer_of(plan);
  make_tones(plan.melody, plan.options, [&](std::span<const float> block) { writer.write(block); });
  writer.finish();
  flush_output();
}

}  // namespace

ExitStatus run_tone(int argc, const char* const* argv) {
  RawTone raw;
  Arguments arguments("firmus tone", "Plays the melody as reference tones to sing or play along with.",
                      "  firmus tone lantern.melody --to lantern.wav\n"
                      "  firmus tone lantern.melody --drone D3 --tempo 60 --to practice/lantern.flac\n"
                      "  firmus tone lantern.melody --contrast -20 --to - > twenty-cents-flat.wav\n"
                      "\n"
                      "Grace notes do not sound. Take care of your ears: turn the volume up only until\n"
                      "you hear the softest note, never louder than you would talk.");
  arguments.positionals("MELODY", "the melody", raw.melodies);
  add_line_options(arguments, raw.line);
  arguments.option("--to", "FILE", "the .wav or .flac; - is WAV to standard output", raw.to);
  arguments.option("--drone", "NOTE", "a soft note below all the others, such as D3", raw.drone);
  arguments.option("--tempo", "BEATS", "beats a minute, in place of the melody's own tempo", raw.tempo);
  arguments.option("--transpose", "SEMITONES", "higher (or lower, with a minus) than written", raw.transpose);
  arguments.option("--count-in", "BEATS", "so many clicks on the beats before the melody (0)", raw.count_in);
  arguments.option("--contrast", "CENTS", "hear each note in tune, off by CENTS, in tune again", raw.contrast);
  arguments.option("--gain", "DB", "louder, up to 10, or softer, down to -60 (0)", raw.gain);
  add_tuning_options(arguments, raw.tuning);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  write_tones(resolve(raw));
  return done;
}

}  // namespace firmus::cli
