// The one decision: which boundary starts which written note, in which key and at which tempo.
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "costs.hpp"
#include "firmus/melody.hpp"
#include "plane.hpp"
#include "segment_pitch.hpp"

namespace firmus {

/// One note of the decoded path: a written one, or an extra one.
struct PathNote {
  std::size_t begin = 0, end = 0;  ///< boundaries; `end` may be the sentinel, one past the last
  std::optional<int> written;
  double key_cents = 0;
  double quarter_s = 0;
  float score = 0;  ///< of the whole path up to its start
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
  enum class From : std::uint8_t { begin, next, skip_one, skip_two, wait, extra, jump, closed, stay };
  struct Arc {
    From from = From::begin;
    std::uint32_t source = 0;  ///< boundaries back (next, skips, closed, extra) or slot (jump)
  };
  /// Scores of one state with the way back. Empty: not reached, or out of the beam.
  struct State {
    Plane score;
    std::vector<Arc> arc;
    std::vector<std::uint16_t> origin;
    bool reached() const { return !score.empty(); }
  };
  struct Column {                    ///< all states at one boundary
    std::vector<State> note;         ///< by written note
    std::vector<State> extra, wait;  ///< by slot: written notes done
    std::vector<std::uint32_t> active_notes, active_extras;
    float floor = impossible;  ///< what is below is out of the beam for certain
  };
  struct Accumulator;

  float duration_cost(double log_ratio) const;
  void timing(double seconds, int from, int to, std::vector<float>& cost) const;
  void pull(std::size_t end, Accumulator& into);
  void pull_notes(std::size_t begin, std::size_t end, float shortness, Accumulator& into);
  void pull_extras(std::size_t begin, std::size_t end, float shortness, Accumulator& into);
  void settle_waits(std::size_t at, Accumulator& from);
  void settle_notes(std::size_t at, Accumulator& from);
  void settle_extras(std::size_t at, Accumulator& from);
  void offer_begin(Accumulator& into) const;
  void offer_jumps(std::size_t at, Accumulator& into) const;
  void prune(std::size_t at);
  float start_score(std::size_t at) const;
  Path trace_back() const;

  const Evidence& evidence_;
  std::span<const Boundary> boundaries_;
  const Melody& melody_;
  const Grid& grid_;
  const Costs& costs_;
  SegmentPitch pitch_;
  std::vector<std::vector<int>> place_;  ///< by note, by key: place of the written pitch on the pitch grid
  std::vector<double> onset_quarters_;   ///< by note; one more: the end
  std::vector<float> skip_cost_;
  std::vector<char> phrase_start_;
  std::vector<double> log_quarter_s_;
  std::vector<Column> columns_;  ///< by boundary, the sentinel last
};

}  // namespace firmus
