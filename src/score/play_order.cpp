#include <algorithm>

#include "score.hpp"

namespace firmus::score {
namespace {

/// Measures under a bracket with numbers, `first` to `last`.
struct Ending {
  std::size_t first = 0, last = 0;
  std::vector<int> numbers;
};

/// Endings that follow each other: the first, second, ... way on from the same music.
struct Group {
  std::vector<Ending> endings;

  int highest() const {
    int number = 0;
    for (const Ending& ending : endings)
      number = std::max(number, *std::max_element(ending.numbers.begin(), ending.numbers.end()));
    return number;
  }
  std::size_t last_measure() const { return endings.back().last; }
};

std::vector<Ending> endings_of(const Part& part) {
  std::vector<Ending> endings;
  bool open = false;
  for (std::size_t i = 0; i < part.measures.size(); ++i) {
    const Signs& signs = part.measures[i].signs;
    if (!signs.endings.empty()) {
      endings.push_back({i, i, signs.endings});
      open = true;
    }
    if (open) endings.back().last = i;
    if (signs.ending_ends || signs.repeat_times > 0) open = false;
  }
  return endings;
}

std::vector<Group> groups_of(const Part& part) {
  std::vector<Group> groups;
  for (Ending& ending : endings_of(part)) {
    const bool goes_on = !groups.empty() && groups.back().last_measure() + 1 == ending.first &&
                         ending.numbers.front() > groups.back().endings.front().numbers.front();
    if (!goes_on) groups.emplace_back();
    groups.back().endings.push_back(std::move(ending));
  }
  return groups;
}

class Player {
 public:
  explicit Player(const Part& part) : part_(part), groups_(groups_of(part)), played_(part.measures.size()) {}

  std::vector<PlayedMeasure> play() {
    if (part_.order.empty()) return play(0, part_.measures.size()) ? std::move(order_) : std::vector<PlayedMeasure>();
    for (const auto& [first, end] : part_.order)
      if (!play(first, end)) return {};
    return std::move(order_);
  }

 private:
  /// False where there would be too many.
  bool play(std::size_t first, std::size_t end) {
    at_ = first_ = first;
    end_ = end;
    after_jump_ = false;
    begin_repeat_at(first);
    while (at_ < end_) {
      if (order_.size() >= most_played_measures) return false;
      if (signs().repeat_begins && at_ != begin_) begin_repeat_at(at_);
      if (skip_ending()) continue;
      order_.push_back({at_, ++played_[at_]});
      if (!go_on()) break;
    }
    return true;
  }

  const Signs& signs() const { return part_.measures[at_].signs; }

  void begin_repeat_at(std::size_t measure) {
    begin_ = measure;
    pass_ = 1;
  }

  const Group* group_at(std::size_t measure) const {
    for (const Group& group : groups_)
      if (group.endings.front().first <= measure && measure <= group.last_measure()) return &group;
    return nullptr;
  }

  /// At the begin of an ending that is not of this time: goes to the measure behind it.
  bool skip_ending() {
    const Group* group = group_at(at_);
    if (!group) return false;
    const auto ending =
        std::find_if(group->endings.begin(), group->endings.end(), [&](const Ending& e) { return e.first == at_; });
    if (ending == group->endings.end()) return false;
    const int time = after_jump_ ? times_in_all(*group) : pass_;
    if (std::find(ending->numbers.begin(), ending->numbers.end(), time) != ending->numbers.end()) return false;
    // The last ending serves where no ending names the time, so that none is left out altogether.
    const bool is_last = group->endings.size() > 1 && &*ending == &group->endings.back();
    if (is_last && time > group->highest()) return false;
    at_ = ending->last + 1;
    if (at_ > group->last_measure()) begin_repeat_at(at_);
    return true;
  }

  /// Of a first ending alone, the last time goes past it.
  static int times_in_all(const Group& group) {
    return group.endings.size() == 1 ? group.highest() + 1 : group.highest();
  }

  /// How often the music up to the sign at the end of this measure is played.
  int times_here() const {
    const Group* group = group_at(at_);
    return group ? times_in_all(*group) : signs().repeat_times;
  }

  /// The measure after this one; false at the end.
  bool go_on() {
    const Signs& here = signs();
    if (after_jump_) {
      if (here.fine) return false;
      if (here.to_coda && jump_to_coda()) return true;
      ++at_;
      return true;
    }
    if (here.repeat_times > 0) {
      if (pass_ < times_here()) {
        ++pass_;
        at_ = begin_;
        return true;
      }
      begin_repeat_at(at_ + 1);
    }
    if (here.da_capo || here.dal_segno) {
      after_jump_ = true;
      at_ = here.dal_segno ? segno() : first_;
      return true;
    }
    if (const Group* group = group_at(at_); group && at_ == group->last_measure()) begin_repeat_at(at_ + 1);
    ++at_;
    return true;
  }

  std::size_t segno() const {
    for (std::size_t i = at_ + 1; i-- > first_;)
      if (part_.measures[i].signs.segno) return i;
    return first_;
  }

  bool jump_to_coda() {
    for (std::size_t i = at_ + 1; i < end_; ++i)
      if (part_.measures[i].signs.coda) {
        at_ = i;
        return true;
      }
    return false;
  }

  const Part& part_;
  std::vector<Group> groups_;
  std::vector<int> played_;
  std::vector<PlayedMeasure> order_;
  std::size_t first_ = 0, end_ = 0;  ///< the stretch that is played
  std::size_t at_ = 0, begin_ = 0;
  int pass_ = 1;
  bool after_jump_ = false;
};

}  // namespace

std::vector<PlayedMeasure> play_order(const Part& part) {
  return Player(part).play();
}

}  // namespace firmus::score
