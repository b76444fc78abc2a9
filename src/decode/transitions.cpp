#include "transitions.hpp"

#include <algorithm>

namespace firmus::decode {
namespace {

/// A jump to where few notes are left is poor evidence that they were sung.
float landing_cost(std::size_t target_notes, std::size_t to, const Costs& costs) {
  const std::size_t left = target_notes - to;
  return left < costs.landing_notes ? costs.landing_short * static_cast<float>(costs.landing_notes - left) : 0;
}

}  // namespace

float skip_cost(const TargetNote& left_out, bool is_first, const Costs& costs) {
  const float cost = left_out.skip_cost;
  return is_first || cost < costs.skip_first ? cost : costs.skip_second;
}

float begin_cost_by_count(std::size_t to, const Costs& costs) {
  return costs.begin_late * static_cast<float>(to);
}

float begin_cost_anywhere(std::span<const TargetNote> targets, std::size_t to, const Costs& costs) {
  return costs.begins_in_the_middle + landing_cost(targets.size(), to, costs);
}

std::size_t notes_begun_by_count(const Costs& costs) {
  return static_cast<std::size_t>(costs.begins_in_the_middle / costs.begin_late) + 1;
}

float forward_jump_cost(std::span<const TargetNote> targets, std::size_t to, const Costs& costs) {
  return costs.jump_forward - costs.wait_entry + landing_cost(targets.size(), to, costs);
}

float restart_cost(std::span<const TargetNote> targets, std::size_t to, const Costs& costs) {
  const float cost = to == 0                     ? costs.restart_at_begin
                     : targets[to].begins_phrase ? costs.restart_at_phrase
                                                 : costs.restart_elsewhere;
  return cost - costs.wait_entry;
}

float end_cost(std::size_t done, std::size_t target_notes, const Costs& costs) {
  return std::min(costs.end_early * static_cast<float>(target_notes - done), costs.ends_at_most);
}

}  // namespace firmus::decode
