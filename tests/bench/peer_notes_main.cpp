// firmus_bench_peer_notes OUT TAKE...: notes of each take by general-purpose means put together from libaubio, with
// several options each; OUT/OPTION/STEM.json holds them in the form of a result, so that one script scores all.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <vector>

#include "aubio_handles.hpp"
#include "sound.hpp"

using namespace firmus::bench;
namespace fs = std::filesystem;

namespace {

constexpr unsigned hop_samples = 220;
constexpr double lowest_hz = 60, highest_hz = 1300;  // voices; a wider range only adds errors
constexpr double shortest_note_s = 0.06;
constexpr std::size_t step_frames = 12;  // 60 ms either side of a step
constexpr double step_cents = 60;

struct Note {
  double onset_s = 0, end_s = 0, hz = 0;
};

/// The pitch track that all of them share: yinfft, the best of libaubio's on such takes.
struct PitchLine {
  double hop_s = 0;
  std::vector<double> f0_hz;
  std::size_t frame_at(double time_s) const {
    return std::min(f0_hz.size(), static_cast<std::size_t>(std::max(0.0, time_s / hop_s)));
  }
};

PitchLine pitch_line(const Sound& sound) {
  constexpr unsigned window_samples = 2048;
  const AubioPitch tracker(new_aubio_pitch("yinfft", window_samples, hop_samples, sound.rate_hz));
  const AubioVector out(new_fvec(1));
  PitchLine line{static_cast<double>(hop_samples) / sound.rate_hz, {}};
  for_each_hop(sound.samples, hop_samples, [&](const fvec_t* hop) {
    aubio_pitch_do(tracker.get(), hop, out.get());
    const double hz = fvec_get_sample(out.get(), 0);
    line.f0_hz.push_back(hz >= lowest_hz && hz <= highest_hz ? hz : 0.0);
  });
  const std::size_t lag = std::min<std::size_t>(window_samples / hop_samples / 2, line.f0_hz.size());
  line.f0_hz.erase(line.f0_hz.begin(), line.f0_hz.begin() + static_cast<std::ptrdiff_t>(lag));
  return line;
}

std::vector<double> voiced(const PitchLine& line, std::size_t from, std::size_t to) {
  std::vector<double> values;
  for (std::size_t i = from; i < std::min(to, line.f0_hz.size()); ++i)
    if (line.f0_hz[i] > 0) values.push_back(line.f0_hz[i]);
  return values;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Notes from onset to onset, each cut at its last voiced frame; its pitch is the median of its middle.
std::vector<Note> between(const std::vector<double>& onsets_s, const PitchLine& line) {
  std::vector<Note> notes;
  for (std::size_t i = 0; i < onsets_s.size(); ++i) {
    const std::size_t from = line.frame_at(onsets_s[i]);
    std::size_t to = i + 1 < onsets_s.size() ? line.frame_at(onsets_s[i + 1]) : line.f0_hz.size();
    while (to > from && line.f0_hz[to - 1] <= 0) --to;
    const std::vector<double> middle = voiced(line, from + (to - from) / 5, to - (to - from) / 5);
    const double end_s = static_cast<double>(to) * line.hop_s;
    if (middle.empty() || end_s - onsets_s[i] < shortest_note_s) continue;
    notes.push_back({onsets_s[i], end_s, median(middle)});
  }
  return notes;
}

std::vector<double> aubio_onsets(const Sound& sound, const std::string& method, float threshold) {
  const AubioOnset tracker(new_aubio_onset(method.c_str(), 1024, hop_samples, sound.rate_hz));
  aubio_onset_set_threshold(tracker.get(), threshold);
  const AubioVector out(new_fvec(1));
  std::vector<double> onsets_s;
  for_each_hop(sound.samples, hop_samples, [&](const fvec_t* hop) {
    aubio_onset_do(tracker.get(), hop, out.get());
    if (fvec_get_sample(out.get(), 0) > 0)
      onsets_s.push_back(static_cast<double>(aubio_onset_get_last_s(tracker.get())));
  });
  return onsets_s;
}

/// Where the pitch begins after a pause, or steps.
std::vector<double> pitch_onsets(const PitchLine& line) {
  std::vector<double> onsets_s;
  std::size_t pause = step_frames, last = 0;
  double before_cents = 0;
  for (std::size_t i = 0; i < line.f0_hz.size(); ++i) {
    if (line.f0_hz[i] <= 0) {
      ++pause;
      continue;
    }
    const bool begins = pause >= step_frames / 2;
    pause = 0;
    double cents = 0;
    if (!begins && i >= step_frames) {
      const auto left = voiced(line, i - step_frames, i), right = voiced(line, i, i + step_frames);
      if (left.size() > step_frames / 2 && right.size() > step_frames / 2)
        cents = std::abs(1200 * std::log2(median(right) / median(left)));
    }
    // A step is where the two sides differ most: one frame after the difference has begun to fall.
    const bool steps = cents < before_cents && before_cents > step_cents && i > last + step_frames;
    before_cents = cents;
    if (!begins && !steps) continue;
    onsets_s.push_back(static_cast<double>(i) * line.hop_s);
    last = i;
  }
  return onsets_s;
}

std::vector<double> joined(std::vector<double> some_s, const std::vector<double>& others_s) {
  constexpr double same_s = 0.1;
  for (const double other : others_s)
    if (std::ranges::none_of(some_s, [&](double s) { return std::abs(s - other) < same_s; })) some_s.push_back(other);
  std::ranges::sort(some_s);
  return some_s;
}

/// libaubio's own notes: onsets and ends; the pitch is taken from the shared line.
std::vector<Note> aubio_notes(const Sound& sound, const PitchLine& line, unsigned window_samples, float silence_db) {
  const AubioNotes tracker(new_aubio_notes("default", window_samples, hop_samples, sound.rate_hz));
  aubio_notes_set_silence(tracker.get(), silence_db);
  const AubioVector out(new_fvec(3));
  std::vector<Note> notes;
  double time_s = 0;
  for_each_hop(sound.samples, hop_samples, [&](const fvec_t* hop) {
    aubio_notes_do(tracker.get(), hop, out.get());
    if (fvec_get_sample(out.get(), 2) > 0 && !notes.empty()) notes.back().end_s = time_s;
    if (fvec_get_sample(out.get(), 0) > 0) notes.push_back({time_s, 0, 0});
    time_s += line.hop_s;
  });
  if (!notes.empty() && notes.back().end_s <= 0) notes.back().end_s = time_s;
  std::vector<Note> heard;
  for (Note note : notes) {
    const std::vector<double> inside = voiced(line, line.frame_at(note.onset_s), line.frame_at(note.end_s));
    if (inside.empty() || note.end_s - note.onset_s < shortest_note_s) continue;
    note.hz = median(inside);
    heard.push_back(note);
  }
  return heard;
}

using Options = std::map<std::string, std::vector<Note>>;

void add_shifted(Options& all, const std::string& name, const std::vector<Note>& notes,
                 const std::vector<int>& shifts_ms) {
  for (const int ms : shifts_ms) {
    std::vector<Note> moved = notes;
    for (Note& note : moved) note.onset_s += 0.001 * ms, note.end_s += 0.001 * ms;
    all[fmt::format("{}, {:+d} ms", name, ms)] = moved;
  }
}

Options notes_of(const Sound& sound) {
  Options all;
  const PitchLine line = pitch_line(sound);
  const std::vector<double> steps_s = pitch_onsets(line);
  add_shifted(all, "steps and pauses of yinfft", between(steps_s, line), {0});
  for (const char* method : {"hfc", "complex", "specflux", "mkl"})
    for (const float threshold : {0.1F, 0.3F}) {
      const std::vector<double> onsets_s = aubio_onsets(sound, method, threshold);
      add_shifted(all, fmt::format("onsets {} {:.1f}", method, threshold), between(onsets_s, line), {0});
      if (threshold > 0.2F)
        add_shifted(all, fmt::format("steps, pauses, {} {:.1f}", method, threshold),
                    between(joined(steps_s, onsets_s), line), {0});
    }
  for (const unsigned window_samples : {1024U, 2048U})
    for (const float silence_db : {-60.0F})
      add_shifted(all, fmt::format("notes {} {:.0f} dB", window_samples, silence_db),
                  aubio_notes(sound, line, window_samples, silence_db), {-40, -60});
  return all;
}

void write_notes(const fs::path& path, const std::vector<Note>& notes) {
  fs::create_directories(path.parent_path());
  std::ofstream file(path);
  file << "{\"notes\":[";
  for (const char* comma = ""; const Note& note : notes) {
    file << fmt::format(
        "{}{{\"status\":\"extra\",\"index\":null,\"onset_s\":{:.4f},\"end_s\":{:.4f},\"sung_hz\":{:.4f}}}", comma,
        std::max(0.0, note.onset_s), std::max(0.0, note.end_s), note.hz);
    comma = ",";
  }
  file << "]}\n";
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) return std::fputs("usage: firmus_bench_peer_notes OUT TAKE...\n", stderr), 2;
  try {
    for (int i = 2; i < argc; ++i)
      for (const auto& [name, notes] : notes_of(read_sound(argv[i])))
        write_notes(fs::path(argv[1]) / name / (fs::path(argv[i]).stem().string() + ".json"), notes);
  } catch (const std::exception& error) {
    return fmt::print(stderr, "{}\n", error.what()), 1;
  }
}
