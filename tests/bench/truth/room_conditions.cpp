// Conditions: rooms, from a small one near by to a hall from far away.
#include "conditions.hpp"
#include "degrade.hpp"
#include "simulated_room.hpp"

namespace firmus::truth {
namespace {

Condition in_room(const std::string& name, double right_percent, const RoomSound& room) {
  Condition condition;
  condition.name = name;
  condition.right_percent = right_percent;
  condition.onset_ms = ErrorTarget{20, 80};
  condition.make = [room](const std::string& melody_name, std::uint64_t seed) {
    const Melody melody = melody_named(melody_name);
    singer::Plan plan = natural_plan(melody, seed);
    plan.room.reverb_s = 0;  // the simulated room is the only one
    TruthTake take = sing_take(melody_name, melody, plan);
    add_room(take, room, seed);
    return take;
  };
  return condition;
}

}  // namespace

std::vector<Condition> room_conditions() {
  return {in_room("small room, near", 99.5, {0.3, 6, 40}), in_room("living room, far", 98, {0.6, -3, 90}),
          in_room("church, near", 98, {2.5, 6, 6000}), in_room("hall 2 s, middle", 96, {2.0, 0, 3000}),
          in_room("hall 2 s, far", 96, {2.0, -6, 3000})};
}

}  // namespace firmus::truth
