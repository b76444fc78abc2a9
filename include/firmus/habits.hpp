// Judged notes of one or several takes -> habits, that is, systematic errors: groups of notes that are off pitch by
// more than chance explains, each with its size in cents, a 95 % confidence interval and a p-value; and how habits
// change from earlier to later takes.
//
// Groups. A written note is in several groups: by the interval into it, its scale degree, note name, place in the
// phrase, approach by step or leap, melodic direction, length, register, and its own place in the melody ("spot"). A
// group has a name, such as "M6 up". It is tested when it has at least 4 judged notes and at most half of all; a spot,
// which one take sings once, is tested over several takes only.
//
// One take. A linear regression explains the notes' errors by an intercept, a slope over the take (what is left of its
// drift) and one indicator column for each group selected. It is robust (Huber 1964: residuals beyond 2 sigmas are
// clipped), observations are weighted by the notes' standard errors, and errors are prewhitened for their lag-1
// autocorrelation (Prais and Winsten 1954). Groups enter by forward selection, the smallest adjusted p first, each
// tested given those before it. p-values are adjusted by a weighted Bonferroni correction over all groups tested
// (family-wise alpha 0.05).
//
// Several takes. A group is tested twice: over written notes, each averaged over the takes, and with whole takes as the
// observations, by their between-take variance. The larger p counts (intersection-union test, Berger 1982), so that
// neither one wrong spot nor one bad day makes a habit.
#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// One take: its melody and the notes of its Result, in order. The caller keeps both alive during the call. Only judged
/// notes enter, with their error against the take's own tuning curve (NoteErrors::own_cents) and its standard error;
/// missing, extra and unclear notes, notes of an attempt that was given up (NoteStatus::restart), and notes sung as
/// another note, do not.
struct HabitTake {
  const Melody* melody = nullptr;  ///< never null
  std::span<const NoteResult> notes;
};

/// Habits of one take, in this order:
/// - substitutions: notes sung as another note (group `substitution`), at least twice and in at least half of the
///   places of the written note; they are counted, not tested;
/// - chronic: adjusted p at most 0.05 and at least 10 cents; in the order of selection, the smallest p first;
/// - leaning: adjusted p at most 0.15, at least 10 cents, and at most ten times as many notes would decide; of takes
///   without any habit at most 15 in 100 have one;
/// - within the tolerance: as chronic, but every note was judged in tune;
/// - no decision: the intervals that remain, with their counts and mean error, the largest mean first.
/// In rows with a decision at least half of the notes are off the same way, as their mean is, by 10 cents or more; of a
/// partition (registers, approach, line, length) at most two have one. Sizes are the mean errors of the notes; what is
/// tested is the contrast with the rest of the take. Of takes without any habit, at most 5 in 100 get a chronic row.
/// Groups of the same notes make one row (its `aliases`). Empty when no note was judged.
std::vector<HabitRow> find_habits(const HabitTake& take);

/// A written note of the melody of one of the takes given.
struct HabitPlace {
  std::size_t take = 0;  ///< position in the takes given: the first take of that melody
  int index = 0;         ///< WrittenNote::index
  friend bool operator==(const HabitPlace&, const HabitPlace&) = default;
};

/// A habit over several takes. `row.count` and `row.same_way` count sung notes of all takes; `row.indices` holds the
/// written notes when all takes have one melody, and is empty otherwise.
struct SharedHabit {
  HabitRow row;
  std::vector<HabitPlace> places;                    ///< the written notes of the group that were judged, in order
  int takes = 0;                                     ///< takes with a judged note of the group
  int takes_same_way = 0;                            ///< of these, takes whose mean error has the sign of the habit
  std::vector<std::optional<double>> cents_by_take;  ///< by take given: mean error of the group; none without notes
};

/// Habits over several takes of one student, or over a class (one take a student), of one melody or several; rows and
/// their order as for one take. A single written note (group `spot`) is tested from 6 takes of its melody on. Takes
/// with fewer than 8 judged notes are ignored. When one take remains, its rows are those of find_habits.
std::vector<SharedHabit> find_shared_habits(std::span<const HabitTake> takes);

/// How a habit changed from the earlier takes to the later ones. All but `stays` and `uncertain` are significant
/// changes.
enum class HabitTrend {
  stays,      ///< chronic, without a significant change; also where nothing was compared
  uncertain,  ///< no significant change, but the later takes do not show that it is still there
  gone,       ///< in the later takes below 10 cents, and not significantly different from 0
  better,     ///< smaller in the later takes, but still there
  worse,      ///< larger in the later takes
  appeared,   ///< in the earlier takes below 10 cents or not significant
  reversed    ///< in the later takes off in the other direction
};
constexpr auto enum_names(HabitTrend) {
  using enum HabitTrend;
  return std::to_array<EnumName<HabitTrend>>({{stays, "stays"},
                                              {uncertain, "uncertain"},
                                              {gone, "gone"},
                                              {better, "better"},
                                              {worse, "worse"},
                                              {appeared, "new"},
                                              {reversed, "turned"}});
}

/// An estimate with its 95 % confidence interval.
struct EstimateWithCi {
  double cents = 0;
  std::pair<double, double> ci95;
};

struct HabitChange {
  SharedHabit habit;  ///< from all takes if it is chronic there, else from the later ones, else from the earlier ones
  HabitTrend status = HabitTrend::stays;
  std::optional<EstimateWithCi> earlier, later;      ///< mean error of its notes in these takes; none below two notes
  std::optional<EstimateWithCi> change;              ///< later minus earlier
  std::optional<double> p, p_adjusted;               ///< of the change; adjusted for all habits compared (Holm 1979)
  std::vector<std::optional<double>> cents_by_take;  ///< by take given: mean error of its notes
};

/// Habits of one student, `takes` in the order they were sung: those that are chronic over all takes, over the first
/// `earlier` of them, or over the others, each once; those over all takes first. With `earlier` 0, or when fewer than
/// two takes can be used, nothing is compared (`status` stays, `change` none).
std::vector<HabitChange> follow_habits(std::span<const HabitTake> takes, std::size_t earlier);

}  // namespace firmus
