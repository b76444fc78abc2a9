// The one decision: which boundary starts which written note, in which key and at which tempo.
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "costs.hpp"
#include "firmus/melody.hpp"
#include "history.hpp"
#include "plane.hpp"
#include "segment_pitch.hpp"

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

/// Semi-Markov decoding in order of time. State: a written note (or, after `slot` notes, an extra one, or a wait)
/// begins at a boundary, with a key and a tempo. Cost: boundaries x reach x notes within the beam x cells of the grid.
class Lattice {
 public:
  Lattice(const Evidence& evidence, std::span<const Boundary> boundaries, const Melody& melody, const Grid& grid,
          const Costs& costs);
  Path best_path();

 private:
  /// Scores of one state, each with the last event on its path. Empty: not reached, out of the beam, or out of reach.
  struct State {
    Plane score;
    std::vector<std::uint32_t> last_event;
    float top = impossible;  ///< the best of `score`
    bool reached() const { return !score.empty(); }
  };
  struct Column {                    ///< all states at one boundary
    std::vector<State> note;         ///< by written note
    std::vector<State> extra, wait;  ///< by slot: written notes done
    std::vector<std::uint32_t> active_notes, active_extras;
    float floor = impossible;  ///< what is below is out of the beam for certain
  };
  /// What flows into one boundary, before it is known whether it is worth keeping.
  struct Target {
    Plane score;
    std::vector<std::uint32_t> last_event;
    float top = impossible;  ///< set by settle
    bool touched = false;
  };
  Target& open(Target& target) const;
  template <typename Source>
  void offer(Target& target, const Source& source, float cost) const;
  static void keep(State& state, const Target& target);
  void keep_begun(State& state, const Target& target, std::size_t at, std::int32_t what);

  float duration_cost(float log_ratio) const;
  void timing(float seconds, std::size_t from, std::size_t to);
  void pull(std::size_t end);
  void pull_notes(std::size_t begin, std::size_t end, float shortness);
  void pull_note(const State& state, std::size_t j, std::size_t begin, std::size_t end);
  void pull_extras(std::size_t begin, float shortness);
  void settle_waits(std::size_t at);
  void stay_or_end(std::size_t at, std::size_t slot, Target& target);
  void drop_out_of_reach(std::size_t at);
  void settle_notes(std::size_t at);
  void settle_extras(std::size_t at);
  void offer_begin();
  void offer_jumps(std::size_t at);
  void prune(std::size_t at);
  float start_score(std::size_t at) const;
  std::size_t frame_of(std::size_t at) const {
    return at < boundaries_.size() ? boundaries_[at].frame : evidence_.frames();
  }
  Path trace_back() const;

  History history_;
  std::size_t first_in_reach_ = 0;     ///< columns before it hold nothing any more
  std::vector<std::uint16_t> origin_;  ///< scratch of keep_begun
  const Evidence& evidence_;
  std::span<const Boundary> boundaries_;
  const Melody& melody_;
  const Grid& grid_;
  const Costs& costs_;
  SegmentPitch pitch_;
  std::vector<std::vector<int>> place_;  ///< by note, by key: place of the written pitch on the pitch grid
  std::vector<double> onset_quarters_;   ///< by note
  std::vector<float> skip_cost_;
  std::vector<char> phrase_start_;
  std::vector<float> log_quarter_s_;
  std::vector<Column> columns_;      ///< by boundary, the sentinel last
  std::vector<Target> into_note_;    ///< by written note: paths that start it here
  std::vector<Target> into_closed_;  ///< by slot: paths whose last note ends here
  std::vector<Target> into_extra_;   ///< by slot: paths whose extra note ends here
  float best_closed_ = impossible;   ///< of those that end here, so far
  Plane by_key_, by_tempo_;          ///< scratch of pull_note
  Target fresh_;                     ///< a path that begins here
};

}  // namespace firmus
