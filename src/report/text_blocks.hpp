// The parts of the summary, each of which knows when it has nothing to say.
#pragma once
#include "firmus/report.hpp"
#include "text_style.hpp"

namespace firmus::report {

/// What the headline may claim.
enum class Standing {
  marked,          ///< judged against the melody
  needs_a_listen,  ///< may not be the melody, or too little of it could be judged: figures, but no mark
  not_this_melody,
  nothing_judged,
  no_melody
};
Standing standing_of(const Result& result);

/// A written note below this share of all that could be judged gets no mark (least_judged_share of the rubric).
inline constexpr double least_judged_share = 0.6;

/// The error against the reference that the take is measured against.
std::optional<double> error_of(const Result& result, const NoteResult& note);
bool is_judged(const NoteResult& note);

/// "bar 3 beat 2", "B (2) bar 3 beat 2" in a section sung twice, "note 14" without bars.
std::string place_of(const Result& result, const NoteResult& note);

void add_facts(Page& page, const Result& result);  ///< take, melody, warnings, tries
void add_headline(Page& page, const Result& result, Colour colour);
void add_habits(Page& page, const Result& result, Colour colour);
void add_furthest(Page& page, const Result& result, Colour colour);
void add_centre(Page& page, const Result& result);  ///< centre, key, drift
void add_longest_in_tune(Page& page, const Result& result);
void add_not_judged(Page& page, const Result& result);
void add_trust(Page& page, const Result& result);
void add_care(Page& page);

}  // namespace firmus::report
