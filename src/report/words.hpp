// Words, times and places for people. Text, pictures and pages share them, so that each is worded in one place.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::report {

/// "1 note", "3 notes"; `many` defaults to the word with an s.
std::string counted(int count, std::string_view one, std::string_view many = {});
/// "a", "a and b", "a, b and c".
std::string listed(const std::vector<std::string>& parts);
/// A time in the take, "m:ss.s".
std::string clock_time(double seconds);
/// A duration, "m:ss".
std::string clock_length(double seconds);
/// "38 cents flat", "12 cents sharp", "0 cents": whole cents.
std::string cents_off(double cents);
/// "+12", "-38", "0": whole cents.
std::string signed_cents(double cents);
/// The file name of a path, with control characters escaped: "takes/kite.flac" -> "kite.flac".
std::string file_of(std::string_view path);
/// Cut to `columns` code points; "..." at the end shows that text was cut.
std::string shortened(std::string_view text, int columns);

/// "rising major sixths", "the 6th of the scale", "F#4", "C instead of C sharp", "low notes", "phrase beginnings",
/// "notes after a leap".
std::string group_in_words(std::string_view group, std::string_view name, const std::optional<Direction>& direction);
std::string group_in_words(const HabitRow& habit);
/// Whether the group in words is of one thing, "the 6th of the scale", or of many, "rising major sixths".
bool is_one(const HabitRow& habit);
/// The words with their first letter as a capital.
std::string sentence_case(std::string words);
/// The fault and its size, the same in every report: "rising major sixths are 27 cents flat (all 5)", "F#4 is 31 cents
/// sharp (5 of 6: bars 2, 7)", "C instead of C sharp (all 6)". `places` may be empty.
std::string habit_in_words(const HabitRow& habit, std::string_view places = {});
/// "all 5", "5 of 6", of the notes themselves.
std::string times_in_words(const HabitRow& habit);
/// Whether a row is about a note sung as another, not about cents.
bool is_substitution(const HabitRow& habit);
/// "bar 3 beat 2", "B bar 3 beat 2, 2nd time" where sections are sung several times, "note 14" without bars.
std::string place_of(const Result& result, const NoteResult& note);
/// "an octave higher" for a note that was sung in another octave than written: off by whole octaves, to within a
/// semitone; none for others.
std::optional<std::string> other_octave_in_words(const NoteResult& note);
/// Only the bar of a written note: "bar 3", "B bar 3, 2nd time", "the pick-up", "note 14" without bars.
std::string bar_of(const Result& result, int index);
/// "too short to tell", "with a pitch that is not steady enough"
std::string reason_in_words(UnclearReason reason);

/// Why a take may not be the melody: "31 % of the intervals match". Not the share of notes found, which can be all:
/// notes of about the right number and order can be found in any melody.
std::string doubt_in_words(double alignment_confidence);

/// Shown below every report with judgements.
inline constexpr std::string_view teacher_judges =
    "firmus compares with one tuning; style, blue notes, leading notes and vibrato are for the teacher to judge.";
inline constexpr std::string_view teacher_stands = "The teacher's judgement comes first.";
/// Shown below all instructions to sing or play. Common practice.
inline constexpr std::string_view stop_at_pain =
    "Stop singing at pain or strain; hoarseness that lasts needs a doctor. String players: stop at pain, numbness or "
    "tingling.";

/// How far a result can be used as a mark; it decides the headline.
enum class ResultStatus {
  marked,          ///< judged against the melody
  needs_a_listen,  ///< the melody is in doubt or too few notes were judged: figures, but no mark
  not_this_melody,
  nothing_judged,
  no_melody
};
ResultStatus result_status_of(const Result& result);

/// Error relative to the reference in the settings of the take; none without one.
std::optional<double> error_of(const Result& result, const NoteResult& note);
bool is_judged(const NoteResult& note);
/// Judged notes with an error (none without a melody or a key), the largest absolute error first; equal ones in
/// the order of the take.
std::vector<const NoteResult*> furthest_first(const Result& result);

/// One block of the summary, independent of its layout.
struct SummaryBlock {
  enum class Kind {
    labelled,  ///< a label and its text
    paragraph,
    item,  ///< one of a list; its first word gives the direction
    line,  ///< a headline, or the heading of the items below
    gap
  };
  Kind kind = Kind::gap;
  std::string label, text;
};

enum class SummaryPart { facts, headline, since, habits, centre, as_sung, longest, not_judged, trust, care };
/// One part of the text summary; empty when it does not apply.
std::vector<SummaryBlock> summary_part(const Result& result, SummaryPart part);
/// Blocks as text, 78 columns wide.
std::string set_in_columns(const std::vector<SummaryBlock>& blocks);

}  // namespace firmus::report
