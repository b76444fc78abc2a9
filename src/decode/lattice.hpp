// The one decision: which boundary starts which written note, in which key and at which tempo.
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "back_pointers.hpp"
#include "boundaries.hpp"
#include "costs.hpp"
#include "decode/decode.hpp"
#include "jump_targets.hpp"
#include "path_hypothesis.hpp"
#include "segment_pitch.hpp"
#include "stable_pitch.hpp"
#include "state_grid.hpp"
#include "target_notes.hpp"

namespace firmus::decode {

/// One note of the decoded path: a written one, or an extra one.
struct PathNote {
  std::size_t begin = 0, end = 0;  ///< boundaries; `end` may be the sentinel, one past the last
  std::optional<int> written;
  double key_cents = 0;
  double quarter_s = 0;
};

struct Path {
  std::vector<PathNote> notes;  ///< by time; written indices rise, but for restarts
  float score = log_zero;
};

/// Semi-Markov decoding in order of time. A token stands for all paths in one place: a written note (or, after so many
/// notes, an extra one, or a wait) begins at a boundary, with a key and a tempo. Only tokens near the best at their
/// boundary are kept, and not more than so many, so the cost is boundaries x reach x cells of the grid, whatever the
/// length of the melody.
class Lattice {
 public:
  Lattice(const Observations& observed, std::span<const Boundary> boundaries, std::span<const TargetNote> line,
          const JumpTargets& jump_targets, const StateGrid& grid, const Costs& costs);
  Path best_path();

 private:
  struct Column {  ///< all tokens at one boundary, each kind by place
    std::vector<PathHypothesis> notes;
    std::vector<PathHypothesis> extras, waits;  ///< place: written notes done
    float floor = log_zero;                     ///< what is below is out of the beam for certain
  };
  // What ends at a boundary flows in (lattice_flow.cpp).
  void extend_segments(std::size_t end);
  void extend_notes(std::size_t begin, std::size_t end, float shortness);
  void finish_note(const PathHypothesis& token, float fit);
  void extend_to_next_notes(const PathHypothesis& token, float fit, float seconds);
  void extend_extras(std::size_t begin, float shortness);
  float speech_discount() const;
  // What flowed in settles as tokens (lattice_settle.cpp).
  void commit_waits(std::size_t at);
  void commit_wait(std::size_t at, std::uint32_t place, const PathHypothesis* before);
  void commit_notes(std::size_t at);
  void commit_extras(std::size_t at);
  void add_begins(std::size_t at);
  void add_jumps(std::size_t at);
  void commit_begun(std::vector<PathHypothesis>& kept, std::uint32_t place, const PendingHypotheses& inflow,
                    float start, std::size_t at, std::int32_t what);
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

  BackPointers history_;
  std::size_t first_in_reach_ = 0;     ///< columns before it hold nothing any more
  std::vector<std::uint32_t> origin_;  ///< scratch of commit_begun
  const Observations& observed_;
  std::span<const Boundary> boundaries_;
  const StateGrid& grid_;
  const Costs& costs_;
  SegmentPitch pitch_;
  StablePitchRuns rests_;
  std::span<const TargetNote> line_;
  DurationCost timing_;
  const JumpTargets& jump_targets_;
  std::vector<Column> columns_;    ///< by boundary, the sentinel last
  PendingByPosition into_note_;    ///< paths that start this written note here
  PendingByPosition into_closed_;  ///< paths whose last note ends here, by written notes done
  PendingByPosition into_extra_;   ///< paths whose extra note ends here, likewise
  float best_closed_ = log_zero;   ///< of those that end here, so far
  std::vector<float> by_key_, no_timing_;
  PendingHypotheses settling_, jumping_;  ///< scratch
};

}  // namespace firmus::decode
