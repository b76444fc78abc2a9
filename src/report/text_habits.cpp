#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/base.hpp"
#include "habit_words.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

constexpr std::size_t most_habits = 3, most_leaning = 2, most_within_tolerance = 1;
constexpr std::size_t most_places = 8;
constexpr std::size_t most_other_names = 2;
constexpr int fewest_looked_at = 4;        // judged notes of a group needed for a test
constexpr double worth_a_word_cents = 25;  // mean error from which an untested interval is mentioned
constexpr int fewest_consequences = 3;     // intervals from the notes of a habit to the next notes
constexpr double heard_cents = 10;         // smallest size of a habit, and of its consequence

using Rows = std::vector<const HabitRow*>;

Rows rows_with(const Result& result, std::optional<HabitDecision> decision) {
  Rows rows;
  for (const HabitRow& habit : result.habits)
    if (habit.decision == decision) rows.push_back(&habit);
  return rows;
}

const NoteResult* written_note(const Result& result, int index) {
  for (const NoteResult& note : result.notes)
    if (note.index == index && note.status != NoteStatus::restart) return &note;
  return nullptr;
}

/// Where the notes of a habit are, each place once: numbers of bars (without bars, of notes) in `numbers`, the pick-up
/// and places in named sections in `names`.
struct Places {
  std::vector<std::string> numbers, names;
  bool bars = true;
};

void add_once(std::vector<std::string>& places, std::string place) {
  if (std::find(places.begin(), places.end(), place) == places.end()) places.push_back(std::move(place));
}

Places places_in(const Result& result, const HabitRow& habit) {
  Places places;
  for (const int index : habit.indices) {
    const NoteResult* note = written_note(result, index);
    if (!note) continue;
    places.bars = places.bars && note->bar.has_value();
    if (!note->section && note->bar != 0) {
      add_once(places.numbers, std::to_string(note->bar.value_or(index + 1)));
    } else {
      NoteResult bar = *note;
      bar.beat.reset();
      add_once(places.names, note->section ? place_of(result, bar) : "the pick-up");
    }
  }
  return places;
}

/// "bars 3, 7, 11", "the pick-up, bars 2, 4", "A bar 2, B bar 3", "notes 4, 9", "bars 1, 2, 3, 4, 5, 6, 7 and 2 more"
std::string places_of(const Result& result, const HabitRow& habit) {
  const Places places = places_in(result, habit);
  std::vector<std::string> all = places.names;
  all.insert(all.end(), places.numbers.begin(), places.numbers.end());
  const std::size_t shown = all.size() > most_places ? most_places - 1 : all.size();
  std::string text;
  for (std::size_t i = 0; i < shown; ++i) {
    if (i > 0) text += ", ";
    if (i == places.names.size())
      text += fmt::format("{}{} ", places.bars ? "bar" : "note", places.numbers.size() > 1 ? "s" : "");
    text += all[i];
  }
  return shown == all.size() ? text : text + fmt::format(" and {} more", all.size() - shown);
}

/// At most two other names in words. "all but GROUP" becomes GROUP with the opposite direction.
std::vector<std::string> names_in_words(const HabitRow& habit, const std::vector<std::string>& names) {
  constexpr std::string_view all_but = "all but ";
  std::vector<std::string> words;
  for (const std::string& name : names) {
    std::string word = full_name_in_words(name.starts_with(all_but) ? name.substr(all_but.size()) : name);
    if (name.starts_with(all_but)) word += habit.mean_cents < 0 ? " being sharp" : " being flat";
    const bool is_new = word != group_in_words(habit) && std::find(words.begin(), words.end(), word) == words.end();
    if (is_new && words.size() < most_other_names) words.push_back(std::move(word));
  }
  return words;
}

/// "Rising major sixths are 27 cents flat (all 5: bars 3, 7, 11, 15, 19)": a spot names its own place.
std::string located_habit(const Result& result, const HabitRow& habit) {
  return sentence_case(habit_in_words(habit, habit.group == "spot" ? "" : places_of(result, habit)));
}

/// Errors of the intervals that start from notes of a habit. They have the opposite sign as a mere consequence of it.
struct Consequence {
  double sum_cents = 0;
  int count = 0;
  std::map<std::pair<std::string, Direction>, int> names;
};

Consequence consequence_of(const Result& result, const HabitRow& habit) {
  Consequence after;
  bool from_habit = false;
  for (const NoteResult& note : result.notes) {
    if (!note.index || note.status != NoteStatus::sung || !is_judged(note)) continue;
    const bool in_habit = std::find(habit.indices.begin(), habit.indices.end(), *note.index) != habit.indices.end();
    if (from_habit && !in_habit && note.errors.interval_cents && note.interval_name && note.interval_direction) {
      after.sum_cents += *note.errors.interval_cents;
      ++after.count;
      ++after.names[{*note.interval_name, *note.interval_direction}];
    }
    from_habit = in_habit;
  }
  return after;
}

/// "Because of this, the next interval (mostly falling major seconds) is 18 cents sharp. Fix this one and that goes
/// too."
std::string consequence_in_words(const Result& result, const HabitRow& habit) {
  if (habit.group != "interval" && habit.group != "note" && habit.group != "degree" && habit.group != "spot") return {};
  const Consequence after = consequence_of(result, habit);
  if (after.count < fewest_consequences) return {};
  const double mean = after.sum_cents / after.count;
  if (mean * habit.mean_cents >= 0 || std::fabs(mean) < heard_cents) return {};
  const auto most = std::max_element(after.names.begin(), after.names.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  const std::string on =
      most->second < 2 ? ""
                       : fmt::format(" (mostly {})", group_in_words("interval", most->first.first, most->first.second));
  return fmt::format("Because of this, the next interval{} is {}. Fix this one and that goes too.", on,
                     cents_off(mean));
}

std::string other_names_in_words(const HabitRow& habit) {
  const std::vector<std::string> same = names_in_words(habit, habit.aliases);
  const std::vector<std::string> rivals = names_in_words(habit, habit.confounders);
  std::string words;
  if (!same.empty()) words += fmt::format(" Also described as {}: the same notes.", fmt::join(same, " or "));
  if (!rivals.empty())
    words += fmt::format(" Could also be {}: this recording cannot tell which.", fmt::join(rivals, " or "));
  return words;
}

void add_chronic(Page& page, const Result& result, const Rows& rows, Colour colour) {
  page.line("Recurring problems");
  for (std::size_t i = 0; i < std::min(rows.size(), most_habits); ++i) {
    const HabitRow& habit = *rows[i];
    std::string words = located_habit(result, habit);
    const std::string others = other_names_in_words(habit), after = consequence_in_words(result, habit);
    if (!others.empty() || !after.empty()) words += ".";
    words += others;
    if (!after.empty()) words += " " + after;
    page.item(words, tint_of(habit.mean_cents), colour);
  }
  if (rows.size() > most_habits) page.line(fmt::format("  and {} more", rows.size() - most_habits));
}

/// The largest of many chance results looks large, so a weak finding is shown with its interval.
std::string size_if_real(const HabitRow& habit) {
  if (!habit.ci95_cents) return "Too few to be sure";
  const double sign = habit.mean_cents < 0 ? -1 : 1;
  const auto a = std::lround(sign * habit.ci95_cents->first), b = std::lround(sign * habit.ci95_cents->second);
  const std::string most = counted(static_cast<int>(std::max(a, b)), "cent");
  return std::min(a, b) <= 0 ? "Too few to be sure: it may be chance, or up to " + most
                             : fmt::format("Too few to be sure: it may be chance, or {} to {}", std::min(a, b), most);
}

void add_leaning(Page& page, const Result& result, const Rows& rows, Colour colour) {
  page.line("Possible problems: listen and decide");
  for (std::size_t i = 0; i < std::min(rows.size(), most_leaning); ++i) {
    const HabitRow& habit = *rows[i];
    std::string words = located_habit(result, habit) + ". " + size_if_real(habit);
    if (habit.required_more) {
      const int takes = (*habit.required_more + habit.count - 1) / habit.count;
      words += fmt::format(". If it is as big as it looks, {} more ({} like this) would tell", *habit.required_more,
                           counted(takes, "recording"));
    }
    const std::string others = other_names_in_words(habit);
    page.item(others.empty() ? words : words + "." + others, tint_of(habit.mean_cents), colour);
  }
}

/// "In tune, but all a little low: rising minor seconds, 12 cents (all 7: bars 1, 2)"
void add_within_tolerance(Page& page, const Result& result, const Rows& rows) {
  for (std::size_t i = 0; i < std::min(rows.size(), most_within_tolerance); ++i) {
    const HabitRow& habit = *rows[i];
    const std::string places = places_of(result, habit);
    page.paragraph(fmt::format("In tune, but all a little {}: {}, {} ({}{}{}).", habit.mean_cents < 0 ? "low" : "high",
                               group_in_words(habit),
                               counted(static_cast<int>(std::llround(std::fabs(habit.mean_cents))), "cent"),
                               times_in_words(habit), places.empty() ? "" : ": ", places));
  }
}

/// The minimum detectable effect of the most frequent interval, in words.
std::string reach_in_words(const Result& result) {
  const HabitRow* most = nullptr;
  for (const HabitRow& habit : result.habits)
    if (habit.group == "interval" && habit.minimum_detectable_cents && (!most || habit.count > most->count))
      most = &habit;
  if (!most) return "Too short to look for recurring problems.";
  return fmt::format("No recurring problem. ({} or more on {} would have shown.)",
                     counted(static_cast<int>(std::ceil(*most->minimum_detectable_cents)), "cent"),
                     group_in_words(*most));
}

std::string rare_in_words(const Result& result) {
  for (const HabitRow& habit : result.habits)
    if (!habit.decision && habit.count > 1 && habit.count < fewest_looked_at &&
        std::fabs(habit.mean_cents) >= worth_a_word_cents)
      return fmt::format(" Only {} {} ({} on average): not enough to tell.", habit.count, group_in_words(habit),
                         cents_off(habit.mean_cents));
  return {};
}

}  // namespace

void add_habits(Page& page, const Result& result, Colour colour) {
  if (!result.melody || result.summary.judged == 0) return;
  const Rows chronic = rows_with(result, HabitDecision::chronic), leaning = rows_with(result, HabitDecision::leaning);
  if (!chronic.empty()) add_chronic(page, result, chronic, colour);
  if (chronic.empty()) page.paragraph(reach_in_words(result) + rare_in_words(result));
  if (!leaning.empty()) {
    page.gap();
    add_leaning(page, result, leaning, colour);
  }
  const Rows within_tolerance = rows_with(result, HabitDecision::within_tolerance);
  if (within_tolerance.empty()) return;
  page.gap();
  add_within_tolerance(page, result, within_tolerance);
}

}  // namespace firmus::report
