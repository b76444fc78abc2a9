// The search: which boundary starts which target note, in which key and at which tempo.
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "back_pointers.hpp"
#include "boundaries.hpp"
#include "costs.hpp"
#include "decode/decode.hpp"
#include "joined_cost.hpp"
#include "jump_targets.hpp"
#include "path_hypothesis.hpp"
#include "segment_pitch.hpp"
#include "stable_pitch.hpp"
#include "state_grid.hpp"
#include "target_notes.hpp"
#include "transitions.hpp"

namespace firmus::decode {

/// One note of the decoded path: a target note or an extra one.
struct PathNote {
  std::size_t begin = 0, end = 0;  ///< boundaries; `end` may be one past the last: the end of the recording
  std::optional<int> written;
  double key_cents = 0;
  double quarter_s = 0;
  std::size_t count = 1;      ///< written notes of one pitch that it is, `written` the first
  bool within_sound = false;  ///< the note before sounds on into it
  bool joined = false;        ///< ... and nothing shows where it begins (joined_notes.hpp)
};

struct Path {
  std::vector<PathNote> notes;  ///< by time; written indices rise, except where an attempt begins
  float score = log_zero;
};

/// Decodes a hidden semi-Markov model by token passing, boundary by boundary. Hidden are the state and position
/// (transitions.hpp), the key and the tempo (state_grid.hpp). Only hypotheses near the best at their boundary are kept,
/// and at most Costs::most_hypotheses of each state, so the time is boundaries x reach x cells of the grid, whatever
/// the length of the melody. All arguments must outlive the object.
class Lattice {
 public:
  Lattice(const Observations& observed, std::span<const Boundary> boundaries, std::span<const TargetNote> targets,
          const JumpTargets& jump_targets, const StateGrid& grid, const Costs& costs);
  Path best_path();

 private:
  /// The hypotheses at one boundary, each state by position. Notes and extra notes begin there.
  struct Column {
    std::vector<PathHypothesis> notes, extras, waits;
    float beam_floor = log_zero;  ///< scores below it are outside the beam
  };
  /// Hypotheses that reach one boundary. Their storage is used again at the next.
  struct Arrivals {
    PendingByPosition into_note;    ///< the next note begins right here, by its index
    PendingByPosition note_ended;   ///< by target notes done
    PendingByPosition extra_ended;  ///< by target notes done
    float best_ended = log_zero;    ///< highest score of a note that ends here, so far
    void clear();
  };
  /// The sound between two boundaries as one note.
  struct Segment {
    std::size_t begin = 0, end = 0;
    float seconds = 0;
    float shortness = 0;  ///< its cost for being short or unvoiced
  };

  // lattice_extend.cpp: notes that began at earlier boundaries end at `end`.
  void extend_segments(std::size_t end, Arrivals& arrivals);
  Segment segment_between(std::size_t begin, std::size_t end) const;
  void extend_notes(const Segment& segment, std::vector<float>& by_key, Arrivals& arrivals);
  void finish_note(const PathHypothesis& note, std::span<const float> by_key, Arrivals& arrivals) const;
  void extend_to_next_notes(const PathHypothesis& note, std::span<const float> by_key, float fit, float seconds,
                            Arrivals& arrivals);
  void extend_joined(const PathHypothesis& note, std::span<const float> by_key, float fit, const Segment& segment,
                     Arrivals& arrivals);
  void extend_extras(const Segment& segment, Arrivals& arrivals) const;
  float speech_discount() const;
  // lattice_commit.cpp: what reaches boundary `at` is kept as hypotheses of its column.
  void commit_waits(std::size_t at, const Arrivals& arrivals);
  void commit_wait(std::size_t at, std::uint32_t position, const PendingHypotheses& begun,
                   const PathHypothesis* before);
  void add_begins(std::size_t at, Arrivals& arrivals) const;
  void add_jumps(std::size_t at, Arrivals& arrivals) const;
  void commit_notes(std::size_t at, Arrivals& arrivals);
  void commit_extras(std::size_t at, const Arrivals& arrivals);
  PathHypothesis begun(std::size_t at, State state, std::uint32_t position, const PendingHypotheses& pending,
                       float start_score);
  // lattice.cpp
  float least_kept(std::vector<float>& tops, Column& column) const;
  void prune(Column& column) const;
  void drop_out_of_reach(std::size_t at);
  float start_score(std::size_t at) const;
  std::size_t frame_of(std::size_t at) const { return at < boundaries_.size() ? boundaries_[at].frame : end_frame_; }
  Path trace_back(const Arrivals& arrivals) const;

  std::span<const Boundary> boundaries_;
  std::size_t end_frame_;  ///< of the recording
  std::span<const TargetNote> targets_;
  const JumpTargets& jump_targets_;
  const StateGrid& grid_;
  const Costs& costs_;
  TransitionTable table_;
  std::vector<float> at_any_tempo_;  ///< no cost for any tempo
  // What outlives a boundary.
  SegmentPitch pitch_;
  StablePitchRuns stable_runs_;
  DurationCost duration_cost_;
  JoinedCost joined_cost_;
  BackPointers back_pointers_;
  std::vector<Column> columns_;     ///< by boundary, the end of the recording last
  std::size_t first_in_reach_ = 0;  ///< columns before it are empty again
};

}  // namespace firmus::decode
