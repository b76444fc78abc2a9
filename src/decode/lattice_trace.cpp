#include <algorithm>

#include "lattice.hpp"

namespace firmus {

Path Lattice::trace_back() const {
  const std::size_t last = boundaries_.size(), notes = place_.size(), tempi = grid_.quarter_s.size();
  Path path;
  std::uint32_t event = 0;
  for (std::size_t slot = 1; slot <= notes; ++slot) {
    const float ends = std::min(costs_.end_early * static_cast<float>(notes - slot), costs_.ends_at_most);
    // At the sentinel `note` holds notes that end there.
    for (const State* state : {&columns_[last].wait[slot], &columns_[last].note[slot - 1]}) {
      if (!state->reached()) continue;
      const auto best = std::ranges::max_element(state->score);
      if (*best - ends <= path.score) continue;
      path.score = *best - ends;
      event = state->last_event[static_cast<std::size_t>(best - state->score.begin())];
    }
  }
  std::size_t end = last;
  for (; event != 0; event = history_[event].before) {
    const auto& [before, boundary, what, cell] = history_[event];
    if (what != History::note_ended) {
      const std::optional<int> written = what >= 0 ? std::optional<int>(what) : std::nullopt;
      path.notes.push_back({boundary, end, written, grid_.key_cents[cell / tempi], grid_.quarter_s[cell % tempi]});
    }
    end = boundary;
  }
  std::ranges::reverse(path.notes);
  return path;
}

}  // namespace firmus
