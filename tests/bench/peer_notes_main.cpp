// firmus_bench_peer_notes OUT TAKE...: transcribes each take with methods built from libaubio and SPTK, with several
// options each; OUT/OPTION/STEM.json has the format of a result, so that one script scores all.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <vector>

#include "aubio_handles.hpp"
#include "steps_and_pauses.hpp"
#include "trackers.hpp"

using namespace firmus::bench;
namespace fs = std::filesystem;

namespace {

constexpr double shortest_note_s = 0.06;

/// Notes from onset to onset, each cut at its last voiced frame; its pitch is the median of its middle.
std::vector<SungNote> between(const std::vector<double>& onsets_s, const F0Track& track) {
  std::vector<SungNote> notes;
  for (std::size_t i = 0; i < onsets_s.size(); ++i) {
    const std::size_t from = track.frame_at(onsets_s[i]);
    std::size_t to = i + 1 < onsets_s.size() ? track.frame_at(onsets_s[i + 1]) : track.f0_hz.size();
    while (to > from && track.f0_hz[to - 1] <= 0) --to;
    const std::vector<double> middle = track.voiced(from + (to - from) / 5, to - (to - from) / 5);
    const double end_s = static_cast<double>(to) * track.hop_s;
    if (middle.empty() || end_s - onsets_s[i] < shortest_note_s) continue;
    notes.push_back({onsets_s[i], end_s, median(middle)});
  }
  return notes;
}

std::vector<double> aubio_onsets(const Sound& sound, const std::string& method, float threshold, float apart_ms) {
  const AubioOnset tracker(new_aubio_onset(method.c_str(), 1024, track_hop_samples, sound.rate_hz));
  aubio_onset_set_threshold(tracker.get(), threshold);
  aubio_onset_set_minioi_ms(tracker.get(), apart_ms);
  const AubioVector out(new_fvec(1));
  std::vector<double> onsets_s;
  for_each_hop(sound.samples, track_hop_samples, [&](const fvec_t* hop) {
    aubio_onset_do(tracker.get(), hop, out.get());
    if (fvec_get_sample(out.get(), 0) > 0)
      onsets_s.push_back(static_cast<double>(aubio_onset_get_last_s(tracker.get())));
  });
  return onsets_s;
}

/// libaubio's own notes: onsets and ends; the pitch is taken from the f0 track.
std::vector<SungNote> aubio_notes(const Sound& sound, const F0Track& track, unsigned window_samples, float silence_db,
                                  float apart_ms) {
  const AubioNotes tracker(new_aubio_notes("default", window_samples, track_hop_samples, sound.rate_hz));
  aubio_notes_set_silence(tracker.get(), silence_db);
  aubio_notes_set_minioi_ms(tracker.get(), apart_ms);
  const AubioVector out(new_fvec(3));
  std::vector<SungNote> notes, heard;
  double time_s = 0;
  for_each_hop(sound.samples, track_hop_samples, [&](const fvec_t* hop) {
    aubio_notes_do(tracker.get(), hop, out.get());
    if (fvec_get_sample(out.get(), 2) > 0 && !notes.empty()) notes.back().end_s = time_s;
    if (fvec_get_sample(out.get(), 0) > 0) notes.push_back({time_s, 0, 0});
    time_s += track.hop_s;
  });
  if (!notes.empty() && notes.back().end_s <= 0) notes.back().end_s = time_s;
  for (SungNote note : notes) {
    const std::vector<double> inside = track.voiced(track.frame_at(note.onset_s), track.frame_at(note.end_s));
    if (inside.empty() || note.end_s - note.onset_s < shortest_note_s) continue;
    note.hz = median(inside);
    heard.push_back(note);
  }
  return heard;
}

using Options = std::map<std::string, std::vector<SungNote>>;

std::vector<SungNote> shifted(std::vector<SungNote> notes, int ms) {
  for (SungNote& note : notes) note.onset_s += 0.001 * ms, note.end_s += 0.001 * ms;
  return notes;
}

void add_steps_and_pauses(const Sound& sound, const Levels& all_levels, Options& all) {
  std::vector<NoteRules> each{best_yinfft_rules(), best_yinfast_rules()};
  if (sptk_is_there()) each.insert(each.end(), {best_rapt_rules(), best_swipe_rules()});
  for (const NoteRules& rules : each)
    all[fmt::format("steps, dips, pauses of {}", rules.tracker)] =
        notes_by_steps(tidy_track(sound, all_levels, rules), all_levels, rules);
}

/// libaubio's own onsets and notes: the best settings out of 72 and 24 that were tried on every sixth take.
struct OnsetOption {
  const char* method;
  float threshold;
  int shift_ms;
};
constexpr std::array onset_options{OnsetOption{"energy", 0.6F, 0}, OnsetOption{"energy", 0.3F, 20},
                                   OnsetOption{"specflux", 0.3F, 20}, OnsetOption{"hfc", 0.1F, 0},
                                   OnsetOption{"mkl", 0.1F, 20}};
constexpr float onsets_apart_ms = 50, notes_apart_ms = 30, notes_silence_db = -60;
constexpr int notes_shift_ms = -40;

Options notes_of(const Sound& sound) {
  Options all;
  const Levels all_levels = levels(sound);
  add_steps_and_pauses(sound, all_levels, all);
  const F0Track track = tidy_track(sound, all_levels, best_yinfft_rules());
  for (const auto& [method, threshold, ms] : onset_options)
    all[fmt::format("aubio onsets {} {:.1f}, {:+d} ms", method, threshold, ms)] =
        shifted(between(aubio_onsets(sound, method, threshold, onsets_apart_ms), track), ms);
  for (const unsigned window_samples : {512U, 1024U})
    all[fmt::format("aubio notes {}, {:+d} ms", window_samples, notes_shift_ms)] =
        shifted(aubio_notes(sound, track, window_samples, notes_silence_db, notes_apart_ms), notes_shift_ms);
  return all;
}

void write_notes(const fs::path& path, const std::vector<SungNote>& notes) {
  fs::create_directories(path.parent_path());
  std::ofstream file(path);
  file << "{\"notes\":[";
  for (const char* comma = ""; const SungNote& note : notes) {
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
