// The best path, from its last back-pointer to its first.
#include <algorithm>

#include "lattice.hpp"

namespace firmus::decode {

Path Lattice::trace_back(const Arrivals& arrivals) const {
  const std::size_t tempi = grid_.quarter_s.size();
  Path path;
  std::uint32_t last = 0;  // bits of a PathEnd
  const auto consider = [&](std::size_t done, const StateScores& score, const std::vector<std::uint32_t>& path_end) {
    const float cost = end_cost(done, targets_.size(), costs_);
    const auto best = std::ranges::max_element(score);
    if (*best - cost <= path.score) return;
    path.score = *best - cost;
    last = path_end[static_cast<std::size_t>(best - score.begin())];
  };
  for (const PathHypothesis& wait : columns_.back().waits) consider(wait.position, wait.score, wait.back_pointer);
  for (const std::uint32_t done : arrivals.note_ended.positions())  // a note that ends with the recording
    consider(done, arrivals.note_ended.at(done).score, arrivals.note_ended.at(done).path_end);
  std::size_t end = boundaries_.size();
  std::size_t joined = PathEnd(last).joined_after();
  for (std::uint32_t at = PathEnd(last).back_pointer(); at != 0; at = back_pointers_[at].before) {
    const BackPointer& entered = back_pointers_[at];
    if (entered.state != State::wait) {
      const auto written = entered.state == State::note ? std::optional<int>(entered.position) : std::nullopt;
      path.notes.push_back({entered.boundary, end, written, grid_.key_cents[entered.cell / tempi],
                            grid_.quarter_s[entered.cell % tempi], 1 + joined});
    }
    joined = entered.joined_before;
    end = entered.boundary;
  }
  std::ranges::reverse(path.notes);
  return path;
}

}  // namespace firmus::decode
