// Many judged notes -> which groups of notes are chronically off, by how much, how often; which lean; which are only
// counted. Over one take, over several takes of one student, over a class.
#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// The notes of one take (a Result's), in order, and the melody they are of. Judged notes count by their error against
/// the take's own centre line; other notes, and notes that were missing, extra or unclear, do not.
struct HabitTake {
  const Melody* melody = nullptr;
  std::span<const NoteResult> notes;
};

/// Over one take: what is chronic (the surest first), what leans, then the intervals that are only counted. At most one
/// take in twenty without any habit is said to have one; a habit has at least 4 notes and 10 cents. Groups that are
/// told under another name are left out.
std::vector<HabitRow> find_habits(const HabitTake& take);

/// A written note: of the melody of `take` (the first take of that melody).
struct HabitPlace {
  std::size_t take = 0;
  int index = 0;
  friend bool operator==(const HabitPlace&, const HabitPlace&) = default;
};

/// A row over several takes. `row.count` and `same_way` are sung notes of all takes together; `row.indices` holds the
/// written notes where all takes have one melody, else nothing.
struct SharedHabit {
  HabitRow row;
  std::vector<HabitPlace> places;
  int takes = 0;                                     ///< in which it was sung
  int takes_same_way = 0;                            ///< of these, how many on average the same way
  std::vector<std::optional<double>> cents_by_take;  ///< its mean error in each take; none where it was not sung
};

/// Over several takes of one student, or of a class (a student is a take); of one melody or several. A habit must show
/// by its notes and by its takes: neither one wrong spot nor one take's bad day is one. A spot that most takes miss
/// (group `spot`) is told from 6 takes of its melody on. Takes with fewer than 8 judged notes are left out. One take
/// left: as find_habits.
std::vector<SharedHabit> find_shared_habits(std::span<const HabitTake> takes);

/// What became of a habit from the earlier takes to the later ones. Each but the first two is a change that chance does
/// not explain.
enum class HabitTrend {
  stays,      ///< chronic, and no clear change
  uncertain,  ///< chronic over all or in the earlier takes; the later ones cannot tell whether it is still there
  gone,       ///< under 10 cents in the later takes, and not to be told from none
  better,     ///< smaller, but still there
  worse,
  appeared,  ///< not to be told from none in the earlier takes, chronic in the later ones
  reversed   ///< now off the other way
};
std::string_view to_string(HabitTrend status);

/// A size with its 95 % interval.
struct EstimateWithCi {
  double cents = 0;
  std::pair<double, double> ci95;
};

struct HabitChange {
  SharedHabit habit;  ///< from the takes that it is chronic in: all, else the later, else the earlier ones
  HabitTrend status = HabitTrend::stays;
  std::optional<EstimateWithCi> earlier, later;      ///< none where these takes have too few of its notes
  std::optional<EstimateWithCi> change;              ///< later minus earlier
  std::optional<double> p, p_adjusted;               ///< of the change; adjusted for all that was looked at
  std::vector<std::optional<double>> cents_by_take;  ///< its size in each take given, beside the other habits
};

/// Habits of one student over takes in the order they were sung: those that are chronic over all takes, over the first
/// `earlier` of them, or over the others, each once; the surest of the whole first. With earlier 0 nothing is compared.
std::vector<HabitChange> follow_habits(std::span<const HabitTake> takes, std::size_t earlier);

}  // namespace firmus
