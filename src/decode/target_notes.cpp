#include "target_notes.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::decode {

std::vector<TargetNote> target_notes_of(const Melody& melody, const Costs& costs) {
  std::vector<TargetNote> targets;
  for (const auto& note : melody.notes) {
    const bool begins_phrase =
        note.index == 0 || note.phrase != melody.notes[static_cast<std::size_t>(note.index) - 1].phrase;
    targets.push_back({100 * midi_from_hz(note.target_hz), note.onset_quarters.value(),
                       note.may_be_left_out() ? costs.skip_optional : costs.skip_first, begins_phrase,
                       note.mark == NoteMark::free, note.length_quarters.value(), 0});
  }
  for (std::size_t i = targets.size(); i-- > 1;) {
    const WrittenNote &before = melody.notes[i - 1], &note = melody.notes[i];
    const bool follows = !targets[i].begins_phrase && !before.grace && !note.grace &&
                         before.onset_quarters + before.length_quarters == note.onset_quarters;
    if (follows && targets[i - 1].pitch_cents == targets[i].pitch_cents)
      targets[i - 1].same_after = targets[i].same_after + 1;
  }
  return targets;
}

DurationCost::DurationCost(std::span<const TargetNote> targets, std::span<const double> quarter_s, const Costs& costs)
    : targets_(targets), costs_(costs), by_tempo_(quarter_s.size()) {
  for (const double seconds : quarter_s) log_quarter_s_.push_back(static_cast<float>(std::log(seconds)));
}

inline float DurationCost::cost(float log_ratio) const {
  const float away = std::abs(log_ratio), knee = costs_.duration_knee * costs_.duration_scale;
  return std::min(away / costs_.duration_scale, costs_.duration_knee) +
         costs_.duration_tail * std::max(0.0F, away - knee);
}

std::span<const float> DurationCost::of(float seconds, std::size_t from, std::size_t to) {
  const double kept = targets_[to].onset_quarters - targets_[from].onset_quarters,
               dropped = targets_[from + 1].onset_quarters - targets_[from].onset_quarters;
  if (kept <= 0) {  // a grace note takes its time from its neighbours
    std::ranges::fill(by_tempo_, 0.0F);
    return by_tempo_;
  }
  const float log_kept = std::log(seconds / static_cast<float>(kept));
  for (std::size_t t = 0; t < by_tempo_.size(); ++t) by_tempo_[t] = cost(log_kept - log_quarter_s_[t]);
  if (to > from + 1 && dropped > 0) {
    const float log_dropped = std::log(seconds / static_cast<float>(dropped));
    for (std::size_t t = 0; t < by_tempo_.size(); ++t)
      by_tempo_[t] = std::min(by_tempo_[t], cost(log_dropped - log_quarter_s_[t]));
  }
  if (targets_[from].free_time)
    for (std::size_t t = 0; t < by_tempo_.size(); ++t)
      if (log_kept > log_quarter_s_[t]) by_tempo_[t] = 0;
  return by_tempo_;
}

}  // namespace firmus::decode
