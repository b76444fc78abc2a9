#include "line_options.hpp"

#include "values.hpp"

namespace firmus::cli {

void add_line_options(Arguments& arguments, RawLine& raw) {
  arguments.option("--part", "P", "of a score: the part, by number or name", raw.part);
  arguments.option("--tune", "X", "of an ABC book: the tune, by its number X:", raw.tune);
  arguments.option("--verse", "N", "of a score: the words of one verse only", raw.verse);
}

LineChoice resolve(const RawLine& raw) {
  constexpr int most_verses = 99;
  LineChoice line;
  if (raw.part && raw.part->empty()) usage_error("--part: the name is empty", "give the number or name of a part");
  line.part = raw.part;
  line.tune = raw.tune;
  if (raw.verse) line.verse = whole_value("--verse", *raw.verse, 1, most_verses);
  return line;
}

}  // namespace firmus::cli
