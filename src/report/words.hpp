// How results are said to people: the words, times and places that text, pictures and pages share, so that each is
// worded in one place.
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
/// Time to listen at, "m:ss.s".
std::string clock_time(double seconds);
/// How long, "m:ss".
std::string clock_length(double seconds);
/// "38 cents flat", "12 cents sharp", "0 cents": whole cents.
std::string cents_off(double cents);
/// "+12", "-38", "0": whole cents.
std::string signed_cents(double cents);
/// The file of a path, safe to show: "takes/kite.flac" -> "kite.flac".
std::string file_of(std::string_view path);
/// Cut to `columns` code points, with "..." at the end if anything is lost.
std::string shortened(std::string_view text, int columns);

/// "rising major sixths", "the 6th degree", "F#4", "the low notes", "first notes of phrases", "notes reached by leap".
std::string group_in_words(std::string_view group, std::string_view name, const std::optional<Direction>& direction);
std::string group_in_words(const HabitRow& habit);
/// "bar 3 beat 2", "B (2) bar 3 beat 2" in a section sung twice, "note 14" without bars.
std::string place_of(const Result& result, const NoteResult& note);
/// "too short to tell", "without a steady pitch"
std::string reason_in_words(UnclearReason reason);

/// Why a take may not be the melody: "about 31 % of its steps, from note to note, came as written". Not the share of
/// notes found, which can be all: notes of about the right number and order can be found in any melody.
std::string doubt_in_words(double alignment_confidence);

/// What stands under everything that judges.
inline constexpr std::string_view teacher_judges =
    "This measures the distance from one tuning; style, blue notes, leading tones and vibrato are the teacher's to "
    "judge.";
inline constexpr std::string_view teacher_stands = "The teacher's judgement stands over the program's.";
/// What stands under everything that is to be sung or played. Common practice.
inline constexpr std::string_view stop_at_pain =
    "Stop singing at pain or strain; hoarseness that lasts needs a doctor. String players: stop at pain, numbness or "
    "tingling.";

/// What the headline may claim.
enum class ResultStatus {
  marked,          ///< judged against the melody
  needs_a_listen,  ///< may not be the melody, or too little of it could be judged: figures, but no mark
  not_this_melody,
  nothing_judged,
  no_melody
};
ResultStatus result_status_of(const Result& result);

/// The error against the reference that the take is measured against.
std::optional<double> error_of(const Result& result, const NoteResult& note);
bool is_judged(const NoteResult& note);
/// Judged notes (all heard notes without a melody), the furthest first; equal ones in the order of the take.
std::vector<const NoteResult*> furthest_first(const Result& result);

/// One block of the summary, for whoever sets it otherwise than in 78 columns.
struct SummaryBlock {
  enum class Kind {
    labelled,  ///< a label and its text
    paragraph,
    item,  ///< one of several; its first word tells the way
    line,  ///< a line of its own: a headline, or the heading of the items below
    gap
  };
  Kind kind = Kind::gap;
  std::string label, text;
};

enum class SummaryPart { facts, headline, habits, centre, longest, not_judged, trust, care };
/// The words of one part of the text summary; empty when it has nothing to say.
std::vector<SummaryBlock> summary_part(const Result& result, SummaryPart part);
/// Blocks as text, 78 columns wide.
std::string set_in_columns(const std::vector<SummaryBlock>& blocks);

}  // namespace firmus::report
