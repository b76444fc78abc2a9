// The best path, from its last event back.
#include <algorithm>

#include "lattice.hpp"

namespace firmus::decode {

Path Lattice::trace_back() const {
  const std::size_t tempi = grid_.quarter_s.size();
  Path path;
  std::uint32_t event = 0;
  const auto consider = [&](std::size_t done, const StateScores& score,
                            const std::vector<std::uint32_t>& back_pointer) {
    const float ends = std::min(costs_.end_early * static_cast<float>(line_.size() - done), costs_.ends_at_most);
    const auto best = std::ranges::max_element(score);
    if (*best - ends <= path.score) return;
    path.score = *best - ends;
    event = back_pointer[static_cast<std::size_t>(best - score.begin())];
  };
  for (const PathHypothesis& wait : columns_.back().waits) consider(wait.place, wait.score, wait.back_pointer);
  for (const std::uint32_t done : into_closed_.places())  // a last note needs no wait to end the take
    consider(done, into_closed_.at(done).score, into_closed_.at(done).back_pointer);
  std::size_t end = boundaries_.size();
  for (; event != 0; event = history_[event].before) {
    const auto& [before, boundary, what, cell] = history_[event];
    if (what != BackPointers::note_ended) {
      const std::optional<int> written = what >= 0 ? std::optional<int>(what) : std::nullopt;
      path.notes.push_back({boundary, end, written, grid_.key_cents[cell / tempi], grid_.quarter_s[cell % tempi]});
    }
    end = boundary;
  }
  std::ranges::reverse(path.notes);
  return path;
}

}  // namespace firmus::decode
