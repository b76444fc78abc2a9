// Generates the takes of the example studio and their ground truth.
//   firmus_make_takes STUDIO           writes STUDIO/takes/*.flac, STUDIO/truth/*.csv and STUDIO/planted.csv
//   firmus_make_takes --check STUDIO   generates them in memory and compares; exit status 1 when they differ
// One function below plans the take of each student and the faults planted in it.
#include <fmt/format.h>
#include <sndfile.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "firmus/melody.hpp"
#include "singer.hpp"

namespace fs = std::filesystem;
using namespace firmus;

namespace {

/// One planted fault: `what` with `which` (an interval, a range of written notes, a first note) and its size.
struct Planted {
  std::string what, which;
  double value = 0;
};
struct Example {
  std::string student, melody;
  singer::Plan plan;
  std::vector<Planted> planted;
};

singer::Voice woman() {
  return {};
}
singer::Voice man() {
  singer::Voice voice;
  voice.formant_scale = 1.0;
  voice.vibrato_extent_cents = 12;
  voice.scoop_cents = -60;
  return voice;
}
singer::Voice child() {
  singer::Voice voice;
  voice.formant_scale = 1.3;
  voice.vibrato_extent_cents = 0;
  voice.wander_cents = 6;
  voice.breath_db = -27;
  return voice;
}

Example example(std::string student, std::string melody, singer::Voice voice) {
  Example made{std::move(student), std::move(melody), {}, {}};
  made.plan.voice = voice;
  made.plan.voice.breath_db -= 6;
  made.plan.room.peak_dbfs = -23;  // level of a phone at arm's length; each 6 dB cost one bit per sample
  made.plan.room.noise_dbfs = -78;
  made.plan.lead_s = made.plan.tail_s = 0.4;
  for (const char c : made.student) made.plan.seed = made.plan.seed * 31 + static_cast<unsigned char>(c);
  return made;
}

Example flat_sixths(const Melody& melody) {
  Example made = example("s01", "kite", woman());
  singer::plant_on_interval(made.plan, melody, "M6", Direction::up, -28);
  made.planted = {{"interval_cents", "M6 up", -28}};
  return made;
}

Example sinking() {
  Example made = example("s02", "harbour", woman());
  made.plan.drift_cents = -60;
  made.planted = {{"drift_cents", "", -60}};
  return made;
}

Example fourth_higher() {
  Example made = example("s03", "mill", child());
  made.plan.transposition_semitones = 5;
  made.planted = {{"transposition_semitones", "", 5}};
  return made;
}

Example octave_lower() {
  Example made = example("s04", "harbour", man());
  made.plan.transposition_semitones = -12;
  made.planted = {{"transposition_semitones", "", -12}};
  return made;
}

Example middle_left_out() {
  Example made = example("s05", "mill", woman());
  made.plan.left_out = {{13, 25}};
  made.planted = {{"left_out", "13-25", 13}};
  return made;
}

Example begins_again() {
  Example made = example("s06", "harbour", child());
  made.plan.restarts = {{{0, 7}, 1.4}};
  made.planted = {{"sung_twice", "0-7", 8}};
  return made;
}

Example tidy() {
  Example made = example("s07", "harbour", woman());
  made.planted = {{"nothing", "", 0}};
  return made;
}

Example changes_key() {
  Example made = example("s08", "mill", woman());
  made.plan.key_changes = {{20, 2}};
  made.planted = {{"key_change_semitones", "20", 2}};
  return made;
}

Example half_speed() {
  Example made = example("s09", "harbour", woman());
  made.plan.tempo_factor = 0.5;
  made.planted = {{"tempo_factor", "", 0.5}};
  return made;
}

Example talks_first() {
  Example made = example("s10", "kite", man());
  made.plan.transposition_semitones = -12;
  made.plan.talk_s = 15;
  made.planted = {{"transposition_semitones", "", -12}, {"talk_s", "", 15}};
  return made;
}

std::vector<Example> studio_examples(const fs::path& studio) {
  const Melody kite = read_melody_file((studio / "kite.melody").string());
  return {flat_sixths(kite), sinking(), fourth_higher(), octave_lower(), middle_left_out(),
          begins_again(),    tidy(),    changes_key(),   half_speed(),   talks_first()};
}

std::string stem_of(const Example& made) {
  return made.student + "-" + made.melody;
}

std::string planted_csv(const std::vector<Example>& examples) {
  std::string csv = "take,melody,what,which,value\n";
  for (const Example& made : examples) {
    for (const Planted& planted : made.planted) {
      csv += fmt::format("{},{},{},{},{:g}\n", stem_of(made), made.melody, planted.what, planted.which, planted.value);
    }
  }
  return csv;
}

std::vector<short> as_16_bit(const std::vector<float>& samples) {
  std::vector<short> values;
  values.reserve(samples.size());
  for (const float sample : samples) values.push_back(static_cast<short>(std::lrint(32767.0 * sample)));
  return values;
}

void write_text(const fs::path& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  if (!file.flush()) throw std::runtime_error("cannot write " + path.string());
}

std::string read_text(const fs::path& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

void write_flac(const fs::path& path, const std::vector<short>& samples) {
  SF_INFO info{};
  info.samplerate = singer::rate_hz;
  info.channels = 1;
  info.format = SF_FORMAT_FLAC | SF_FORMAT_PCM_16;
  SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
  if (!file) throw std::runtime_error("cannot write " + path.string());
  double level = 1.0;  // compression level that gives the smallest file
  sf_command(file, SFC_SET_COMPRESSION_LEVEL, &level, sizeof level);
  const auto written = sf_writef_short(file, samples.data(), static_cast<sf_count_t>(samples.size()));
  if (sf_close(file) != 0 || written != static_cast<sf_count_t>(samples.size())) {
    throw std::runtime_error("cannot write " + path.string());
  }
}

std::vector<short> read_flac(const fs::path& path) {
  SF_INFO info{};
  SNDFILE* file = sf_open(path.c_str(), SFM_READ, &info);
  if (!file) return {};
  std::vector<short> samples(static_cast<std::size_t>(info.frames));
  samples.resize(static_cast<std::size_t>(sf_readf_short(file, samples.data(), info.frames)));
  sf_close(file);
  return samples;
}

// Samples may differ by one 16-bit step, since sin and exp of C libraries differ in their last bit.
bool same_sound(const std::vector<short>& a, const std::vector<short>& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (std::abs(a[i] - b[i]) > 1) return false;
  }
  return true;
}

using Visit =
    std::function<void(const fs::path& flac, const std::vector<short>&, const fs::path& csv, const std::string&)>;

std::string make_all(const fs::path& studio, const Visit& visit) {
  const std::vector<Example> examples = studio_examples(studio);
  for (const Example& made : examples) {
    const Melody melody = read_melody_file((studio / (made.melody + ".melody")).string());
    const singer::Performance performance = singer::sing(melody, made.plan);
    visit(studio / "takes" / (stem_of(made) + ".flac"), as_16_bit(performance.samples),
          studio / "truth" / (stem_of(made) + ".csv"), singer::truth_csv(performance.notes));
  }
  return planted_csv(examples);
}

int write_studio(const fs::path& studio) {
  fs::create_directories(studio / "takes");
  fs::create_directories(studio / "truth");
  const std::string planted =
      make_all(studio, [](const auto& flac, const auto& samples, const auto& csv, const auto& truth) {
        write_flac(flac, samples);
        write_text(csv, truth);
      });
  write_text(studio / "planted.csv", planted);
  return 0;
}

int check_studio(const fs::path& studio) {
  int differing = 0, takes = 0;
  const auto report = [&](const fs::path& path) {
    std::cout << path.string() << " is not what the plans give\n";
    ++differing;
  };
  const std::string planted =
      make_all(studio, [&](const auto& flac, const auto& samples, const auto& csv, const auto& truth) {
        ++takes;
        if (!same_sound(read_flac(flac), samples)) report(flac);
        if (read_text(csv) != truth) report(csv);
      });
  if (read_text(studio / "planted.csv") != planted) report(studio / "planted.csv");
  std::cout << takes << " takes made again, " << differing << " files differ\n";
  return differing == 0 ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  const std::vector<std::string> arguments(argv + 1, argv + argc);
  const bool check = !arguments.empty() && arguments[0] == "--check";
  if (arguments.size() != (check ? 2U : 1U)) {
    std::cerr << "usage: firmus_make_takes [--check] STUDIO\n";
    return 2;
  }
  try {
    return check ? check_studio(arguments[1]) : write_studio(arguments[0]);
  } catch (const std::exception& fault) {
    std::cerr << "firmus_make_takes: " << fault.what() << '\n';
    return 1;
  }
}
