// The one decision: which boundary starts which written note, in which key and at which tempo.
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "costs.hpp"
#include "decode/decode.hpp"
#include "history.hpp"
#include "jump_targets.hpp"
#include "plane.hpp"
#include "rests.hpp"
#include "segment_pitch.hpp"
#include "token.hpp"
#include "written_line.hpp"

namespace firmus {

/// One note of the decoded path: a written one, or an extra one.
struct PathNote {
  std::size_t begin = 0, end = 0;  ///< boundaries; `end` may be the sentinel, one past the last
  std::optional<int> written;
  double key_cents = 0;
  double quarter_s = 0;
};

struct Path {
  std::vector<PathNote> notes;  ///< by time; written indices rise, but for restarts
  float score = impossible;
};

/// Semi-Markov decoding in order of time. A token stands for all paths in one place: a written note (or, after so many
/// notes, an extra one, or a wait) begins at a boundary, with a key and a tempo. Only tokens near the best at their
/// boundary are kept, and not more than so many, so the cost is boundaries x reach x cells of the grid, whatever the
/// length of the melody.
class Lattice {
 public:
  Lattice(const Observations& observed, std::span<const Boundary> boundaries, std::span<const LineNote> line,
          const JumpTargets& jump_targets, const Grid& grid, const Costs& costs);
  Path best_path();

 private:
  struct Column {  ///< all tokens at one boundary, each kind by place
    std::vector<Token> notes;
    std::vector<Token> extras, waits;  ///< place: written notes done
    float floor = impossible;          ///< what is below is out of the beam for certain
  };
  // What ends at a boundary flows in (lattice_flow.cpp).
  void pull(std::size_t end);
  void pull_notes(std::size_t begin, std::size_t end, float shortness);
  void close_note(const Token& token, float fit);
  void go_on(const Token& token, float fit, float seconds);
  void pull_extras(std::size_t begin, float shortness);
  float talk_discount() const;
  // What flowed in settles as tokens (lattice_settle.cpp).
  void settle_waits(std::size_t at);
  void wait_on(std::size_t at, std::uint32_t place, const Token* before);
  void settle_notes(std::size_t at);
  void settle_extras(std::size_t at);
  void offer_begin(std::size_t at);
  void offer_jumps(std::size_t at);
  void keep_begun(std::vector<Token>& kept, std::uint32_t place, const Inflow& inflow, float start, std::size_t at,
                  std::int32_t what);
  // lattice.cpp
  float kept_from(Column& column, std::vector<float>& tops) const;
  void prune(std::size_t at);
  void drop_out_of_reach(std::size_t at);
  float start_score(std::size_t at) const;
  float landing_cost(std::size_t note) const;
  std::size_t frame_of(std::size_t at) const {
    return at < boundaries_.size() ? boundaries_[at].frame : observed_.frames();
  }
  Path trace_back() const;

  History history_;
  std::size_t first_in_reach_ = 0;     ///< columns before it hold nothing any more
  std::vector<std::uint32_t> origin_;  ///< scratch of keep_begun
  const Observations& observed_;
  std::span<const Boundary> boundaries_;
  const Grid& grid_;
  const Costs& costs_;
  SegmentPitch pitch_;
  Rests rests_;
  std::span<const LineNote> line_;
  StepTiming timing_;
  const JumpTargets& jump_targets_;
  std::vector<Column> columns_;     ///< by boundary, the sentinel last
  Inflows into_note_;               ///< paths that start this written note here
  Inflows into_closed_;             ///< paths whose last note ends here, by written notes done
  Inflows into_extra_;              ///< paths whose extra note ends here, likewise
  float best_closed_ = impossible;  ///< of those that end here, so far
  std::vector<float> by_key_, no_timing_;
  Inflow settling_, jumping_;  ///< scratch
};

}  // namespace firmus
