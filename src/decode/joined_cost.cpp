#include "joined_cost.hpp"

#include <algorithm>
#include <cmath>

#include "base/frames.hpp"

namespace firmus::decode {

JoinedCost::JoinedCost(const Observations& observed, std::span<const TargetNote> targets,
                       std::span<const double> quarter_s, const Costs& costs)
    : targets_(targets), quarter_s_(quarter_s), costs_(costs), by_tempo_(quarter_s.size()) {
  for (const double seconds : quarter_s) log_quarter_s_.push_back(static_cast<float>(std::log(seconds)));
  if (std::ranges::none_of(targets, [](const TargetNote& note) { return note.same_after > 0; })) return;
  sounding_before_.push_back(0);
  for (std::size_t frame = 0; frame < observed.frames(); ++frame)
    sounding_before_.push_back(sounding_before_.back() + (observed.sounds_at(frame) ? 1U : 0U));
}

/// What share of the last note is not heard, beyond the share that need not be.
float JoinedCost::unheard(const Sound& sound, double frames_per_quarter) const {
  const TargetNote& last = targets_[sound.from + sound.count - 1];
  const double at = (last.onset_quarters - targets_[sound.from].onset_quarters) * frames_per_quarter;
  const double length = last.length_quarters * frames_per_quarter;
  const std::size_t begin = std::min(sound.end, sound.begin + static_cast<std::size_t>(at)),
                    end = std::min(sound.end, begin + static_cast<std::size_t>(length));
  const double heard = static_cast<double>(sounding_before_[end] - sounding_before_[begin]) / length;
  return costs_.joined_unheard * std::max(0.0F, costs_.joined_heard - static_cast<float>(heard));
}

std::span<const float> JoinedCost::before_rest(const Sound& sound) {
  for (std::size_t t = 0; t < by_tempo_.size(); ++t) by_tempo_[t] = unheard(sound, quarter_s_[t] / frame_hop_s);
  return by_tempo_;
}

std::span<const float> JoinedCost::before_next(const Sound& sound) {
  const double quarters = targets_[sound.from + sound.count].onset_quarters - targets_[sound.from].onset_quarters;
  const double per_quarter = static_cast<double>(sound.end - sound.begin) / quarters;
  const float in_its_place = unheard(sound, per_quarter),
              log_pace = static_cast<float>(std::log(per_quarter * frame_hop_s));
  for (std::size_t t = 0; t < by_tempo_.size(); ++t)
    by_tempo_[t] = std::max(in_its_place, unheard(sound, quarter_s_[t] / frame_hop_s)) +
                   std::abs(log_pace - log_quarter_s_[t]) / costs_.joined_duration_scale;
  return by_tempo_;
}

}  // namespace firmus::decode
