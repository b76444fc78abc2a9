// What the readers of scores share.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "base/ascii.hpp"
#include "score.hpp"

namespace firmus::score {

[[noreturn]] void refuse_score(const std::string& file, std::string what, std::string remedy);

/// Without white space around it.
std::string_view stripped(std::string_view text);
/// A whole number and nothing else; none where there is another text or it is outside.
std::optional<int> whole_number(std::string_view text, int lowest, int highest);
/// "4", "-1.5": exact; none for any other text.
std::optional<Fraction> decimal_number(std::string_view text);

/// A syllable as a melody has it: white space inside becomes a no-break space; control characters go. Empty where
/// nothing is left, or where melody text has another meaning for it ("|", "-", ".", "#").
std::string syllable_text(std::string_view text);
/// The text as UTF-8: what is none is taken for Latin-1 (ISO 8859-1), as older files have it.
std::string utf8_of(std::string_view text);
/// Valid UTF-8 without control characters, on one line.
std::string one_line(std::string_view text);

/// A pitch with an alteration in cents from the natural letter: whole semitones are the accidental, the rest its
/// deviation. None outside octaves 0 to 9 and beyond two and a half semitones.
std::optional<SpelledPitch> altered_pitch(char letter, double alter_cents, int octave);

/// The sounding height in cents, for comparing notes of a chord.
double height_cents(const SpelledPitch& pitch);

Fraction bar_length(const Meter& meter);  ///< in quarters

/// Sorts the notes of the measure by time and shortens those that reach into the next one. Returns whether any did.
bool cut_overlaps(Measure& measure);

/// Counts the beats of the first measure, if it is short, from the end of the bar: an upbeat.
void place_upbeat(Part& part);

/// Of notes that begin together: the highest, with the words, fermata and breath of all.
Note top_of_chord(const std::vector<Note>& chord);

}  // namespace firmus::score
