#include <algorithm>
#include <cmath>
#include <set>

#include "base/statistics.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {
namespace {

/// With an even chance of being in tune at each note, five in a row happen 1 time in 32.
constexpr int required_run = 5;
constexpr double largest_mean_cents = 10;   ///< of the run: less is too little to hear as a habit
constexpr std::size_t fewest_compared = 3;  ///< notes not aimed at: the median of fewer may be a single wrong one

const NoteResult* result_of(std::span<const NoteResult> notes, int index) {
  const auto found = std::find_if(notes.begin(), notes.end(), [&](const NoteResult& n) { return n.index == index; });
  return found == notes.end() ? nullptr : &*found;
}

/// The error of the notes aimed at, which is against concert pitch where that is asked for or the drill has too few
/// other notes, else against the median of those: the take's own centre would follow the fault.
class AimedErrors {
 public:
  AimedErrors(const Melody& melody, std::span<const NoteResult> notes, Reference reference) {
    if (reference == Reference::concert) return;
    const std::set<int> aimed(melody.drill->notes.begin(), melody.drill->notes.end());
    std::vector<double> others;
    for (const NoteResult& note : notes) {
      const bool judged = note.verdict && note.verdict != Verdict::unclear && note.verdict != Verdict::other_note;
      if (note.index && judged && !aimed.contains(*note.index) && note.errors.own_cents)
        others.push_back(*note.errors.own_cents);
    }
    if (others.size() >= fewest_compared) centre_cents_ = median(std::move(others));
  }
  std::optional<double> of(const NoteResult& note) const {
    if (!centre_cents_) return note.errors.concert_cents;
    return note.errors.own_cents ? std::optional(*note.errors.own_cents - *centre_cents_) : std::nullopt;
  }

 private:
  std::optional<double> centre_cents_;  ///< of the own errors of the other notes; none: by concert pitch
};

/// Whether any `length` errors in a row have a mean near enough to 0.
bool has_centred_run(const std::vector<double>& run, std::size_t length) {
  if (length == 0 || run.size() < length) return false;
  double sum = 0;
  for (std::size_t i = 0; i < run.size(); ++i) {
    sum += run[i] - (i >= length ? run[i - length] : 0);
    if (i + 1 >= length && std::fabs(sum) <= largest_mean_cents * static_cast<double>(length)) return true;
  }
  return false;
}

}  // namespace
}  // namespace firmus::practice

namespace firmus {

Cents drill_limit(const DrillAim& aim, Cents tolerance) {
  constexpr double smallest_limit_cents = 10;  // a voice that is in tune varies by 5 cents from note to note
  if (!aim.size_cents) return tolerance;
  return Cents(std::min<double>(tolerance, std::max(smallest_limit_cents, *aim.size_cents / 2.0)));
}

std::optional<DrillProgress> drill_progress(const Melody& melody, std::span<const NoteResult> notes,
                                            const Settings& settings) {
  if (!melody.drill) return std::nullopt;
  DrillProgress progress;
  progress.aim = *melody.drill;
  progress.aim.notes.clear();
  progress.aim.size_cents.reset();  // the same fault, whatever its size was when the drill was made
  progress.within_cents = drill_limit(*melody.drill, settings.tolerance_cents);
  const practice::AimedErrors errors(melody, notes, settings.reference);
  const auto required =
      static_cast<std::size_t>(std::min(practice::required_run, static_cast<int>(melody.drill->notes.size())));
  std::vector<double> cents, run;
  for (const int index : melody.drill->notes) {
    ++progress.notes;
    const NoteResult* note = practice::result_of(notes, index);
    if (note && note->verdict == Verdict::unclear) continue;  // neither ends a run nor lengthens it
    const bool judged = note && note->verdict;
    const auto error = judged && note->verdict != Verdict::other_note ? errors.of(*note) : std::nullopt;
    const bool within = error && std::fabs(*error) - note->se_cents.value_or(0) <= *progress.within_cents;
    progress.judged += judged;
    if (error) cents.push_back(*error);
    if (!within) run.clear();
    if (within) run.push_back(*error);
    progress.in_tune += within;
    progress.most_in_a_row = std::max(progress.most_in_a_row, static_cast<int>(run.size()));
    progress.done = progress.done || practice::has_centred_run(run, required);
  }
  if (!cents.empty()) progress.mean_cents = mean_and_sd(cents).mean;
  return progress;
}

}  // namespace firmus
