#include <algorithm>

#include "lattice.hpp"

namespace firmus {

Path Lattice::trace_back() const {
  enum class In { note, extra, wait };
  const std::size_t last = boundaries_.size(), notes = place_.size(), tempi = grid_.quarter_s.size();
  Path path;
  const State* state = nullptr;
  std::size_t at = last, index = 0, cell = 0;
  for (std::size_t slot = 1; slot <= notes; ++slot) {
    const float ends = std::min(costs_.end_early * static_cast<float>(notes - slot), costs_.ends_at_most);
    // At the sentinel `note` holds closed notes, whose arcs read like a wait's.
    for (const State* end : {&columns_[last].wait[slot], &columns_[last].note[slot - 1]}) {
      if (!end->reached()) continue;
      const auto best = std::ranges::max_element(end->score);
      if (*best - ends <= path.score) continue;
      path.score = *best - ends;
      state = end;
      index = slot;
      cell = static_cast<std::size_t>(best - end->score.begin());
    }
  }
  if (state == nullptr || path.score <= impossible / 2) return path;
  In in = In::wait;
  for (;;) {
    if (in == In::note) cell = state->origin[cell];
    const Arc arc = unpack(state->arc[cell]);
    if (arc.from == From::begin) break;
    in = In::wait;
    std::size_t end = at;
    switch (arc.from) {
      case From::next:
      case From::skip_one:
      case From::skip_two:
        in = In::note;
        index -= arc.from == From::next ? 1 : arc.from == From::skip_one ? 2 : 3;
        break;
      case From::closed:
        in = In::note;
        index -= 1;
        break;
      case From::extra:
        in = In::extra;
        break;
      case From::jump:
        index = arc.source;
        break;
      default:
        break;
    }
    if (in != In::wait || arc.from == From::stay) at -= arc.source;
    const Column& column = columns_[at];
    state = in == In::note ? &column.note[index] : in == In::extra ? &column.extra[index] : &column.wait[index];
    if (in == In::wait) continue;
    const std::optional<int> written = in == In::note ? std::optional<int>(static_cast<int>(index)) : std::nullopt;
    path.notes.push_back(
        {at, end, written, grid_.key_cents[cell / tempi], grid_.quarter_s[cell % tempi], state->score[cell]});
  }
  std::ranges::reverse(path.notes);
  return path;
}

}  // namespace firmus
