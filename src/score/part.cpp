#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "base/base.hpp"
#include "base/diagnostics.hpp"
#include "score.hpp"

namespace firmus::score {
namespace {

[[noreturn]] void refuse(const std::string& file, std::string what, std::string remedy) {
  throw InputError(Problem{{file, 0, 0}, std::move(what), std::move(remedy)});
}

/// `1 "Voice", 2 "Piano"`.
std::string listed(const Score& score) {
  constexpr std::size_t most_listed = 20;
  std::string list;
  for (std::size_t i = 0; i < std::min(score.parts.size(), most_listed); ++i) {
    const Part& part = score.parts[i];
    list += fmt::format("{}{}", i > 0 ? ", " : "", i + 1);
    if (const std::string& name = part.name.empty() ? part.id : part.name;
        !name.empty() && name != fmt::to_string(i + 1))
      list += " " + in_quotes(name);
  }
  return score.parts.size() > most_listed ? list + ", ..." : list;
}

std::string lower_case(std::string_view text) {
  std::string lowered(text);
  for (char& c : lowered)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return lowered;
}

const Part& part_named(const Score& score, const std::string& name, const std::string& file) {
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
  if (error == std::errc() && end == name.data() + name.size() && number >= 1 && number <= score.parts.size())
    return score.parts[number - 1];
  const Part* found = nullptr;
  for (const Part& part : score.parts) {
    if (lower_case(part.name) != lower_case(name) && part.id != name) continue;
    if (found)
      refuse(file, fmt::format("has several parts named {}", in_quotes(name)), "give its number: " + listed(score));
    found = &part;
  }
  if (!found) refuse(file, fmt::format("has no part {}", in_quotes(name)), "its parts are " + listed(score));
  return *found;
}

template <typename Holds>
const Part* only_part(const Score& score, Holds holds) {
  const Part* only = nullptr;
  for (const Part& part : score.parts) {
    if (!holds(part)) continue;
    if (only) return nullptr;
    only = &part;
  }
  return only;
}

}  // namespace

bool Part::has_notes() const {
  return std::any_of(measures.begin(), measures.end(), [](const Measure& measure) { return !measure.notes.empty(); });
}

bool Part::has_words() const {
  return std::any_of(measures.begin(), measures.end(), [](const Measure& measure) {
    return std::any_of(measure.notes.begin(), measure.notes.end(),
                       [](const Note& note) { return !note.words.empty(); });
  });
}

const Part& chosen_part(const Score& score, const std::optional<std::string>& name, const std::string& file) {
  const Part* part = name ? &part_named(score, *name, file) : nullptr;
  if (!part && score.parts.size() == 1) part = &score.parts.front();
  if (!part && !score.words_are_shared) part = only_part(score, [](const Part& p) { return p.has_words(); });
  if (!part && !score.parts.empty())
    refuse(file, fmt::format("has {} parts, and which of them is the melody is not clear", score.parts.size()),
           fmt::format("choose one with --part: {}", listed(score)));
  if (part && part->unpitched)
    refuse(file, "this part is unpitched percussion: it has no pitches to sing or play",
           score.parts.size() > 1 ? "choose another part with --part: " + listed(score)
                                  : "give a score with pitched notes");
  if (!part || !part->has_notes())
    refuse(file, score.parts.size() > 1 ? "this part has no notes" : "has no notes",
           score.parts.size() > 1 ? "choose another part with --part: " + listed(score)
                                  : "check that it is the right file");
  return *part;
}

}  // namespace firmus::score
