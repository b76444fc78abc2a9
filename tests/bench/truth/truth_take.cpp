#include "truth_take.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace firmus::truth {
namespace {

// As in src/decode/attempts.cpp: an attempt begins by going back into this first part, and to this note at the latest.
constexpr double begins_again = 0.15;
constexpr int begins_again_at = 2;
constexpr double two_takes_gap_s = 1.5;
constexpr double heard_share = 0.277;  // of the vowel's rise: 15 dB under the whole, 0.5 - 0.5 cos(pi x) = 10^(-15/20)

bool near_beginning(int index, std::size_t written_notes) {
  return index <= begins_again_at && index <= begins_again * static_cast<double>(written_notes);
}

NoteStatus status_of(singer::Kind kind) {
  switch (kind) {
    case singer::Kind::sung:
      return NoteStatus::sung;
    case singer::Kind::restart:
      return NoteStatus::restart;
    case singer::Kind::extra:
      break;
  }
  return NoteStatus::extra;
}

}  // namespace

std::vector<TrueAttempt> attempts_in(const std::vector<TrueNote>& notes, std::size_t written_notes) {
  std::vector<TrueAttempt> attempts;
  int reached = -1;
  for (const TrueNote& note : notes) {
    if (!note.written) continue;
    const int index = *note.written;
    if (attempts.empty() || (index <= reached && near_beginning(index, written_notes))) {
      attempts.push_back({note.onset_s, note.end_s, index, index});
      reached = -1;
    }
    reached = std::max(reached, index);
    attempts.back().to_s = note.end_s;
    attempts.back().written_from = std::min(attempts.back().written_from, index);
    attempts.back().written_to = reached;
  }
  return attempts;
}

TruthTake sing_take(const std::string& melody_name, const Melody& melody, const singer::Plan& plan) {
  singer::Performance performance = singer::sing(melody, plan);
  TruthTake take;
  take.melody_name = melody_name;
  take.melody = melody;
  take.samples = std::move(performance.samples);
  for (const singer::SungNote& note : performance.notes)
    take.notes.push_back({note.onset_s + heard_share * singer::vowel_rise_s, note.end_s, note.centre_hz, note.written,
                          status_of(note.kind)});
  take.attempts = attempts_in(take.notes, melody.notes.size());
  return take;
}

TruthTake one_after_the_other(TruthTake first, const TruthTake& second) {
  first.samples.resize(first.samples.size() + static_cast<std::size_t>(two_takes_gap_s * first.rate_hz), 0.0F);
  const double later_s = static_cast<double>(first.samples.size()) / first.rate_hz;
  for (TrueNote& note : first.notes) note.status = NoteStatus::restart;
  for (TrueNote note : second.notes) {
    note.onset_s += later_s;
    note.end_s += later_s;
    first.notes.push_back(note);
  }
  first.samples.insert(first.samples.end(), second.samples.begin(), second.samples.end());
  first.attempts = attempts_in(first.notes, first.melody.notes.size());
  return first;
}

std::vector<std::string> melody_names() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(FIRMUS_TRUTH_MELODIES))
    if (entry.path().extension() == ".melody") names.push_back(entry.path().stem().string());
  std::ranges::sort(names);
  return names;
}

Melody melody_named(const std::string& name, int sounds_semitones) {
  std::ifstream file(fmt::format("{}/{}.melody", FIRMUS_TRUTH_MELODIES, name));
  std::ostringstream text;
  if (sounds_semitones != 0) text << "sounds: " << sounds_semitones << "\n";
  text << file.rdbuf();
  return read_melody(text.str(), name + ".melody");
}

}  // namespace firmus::truth
