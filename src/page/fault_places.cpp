#include "fault_places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/markup.hpp"
#include "note_player.hpp"
#include "report/words.hpp"

namespace firmus::page {
namespace {

using Kind = TableCell::Kind;

std::string take_name(const Result& result) {
  const std::string name = result.take.name.empty() ? "a take" : report::file_of(result.take.name);
  return result.context.date ? name + ", " + *result.context.date : name;
}

/// Numbers of the takes, each once, in the order of the places.
std::vector<std::size_t> takes_of(const PracticeFault& fault, const NamedTakes& takes) {
  std::vector<std::size_t> numbers;
  for (const FaultPlace& place : fault.places)
    if (const std::size_t number = takes.number_of(*place.result); numbers.empty() || numbers.back() != number)
      numbers.push_back(number);
  return numbers;
}

TableRow place_row(const FaultPlace& place, std::size_t take, const std::string& id) {
  std::string where = report::place_of(*place.result, *place.note);
  if (place.note->word) where += ", " + *place.note->word;
  return {{{place.note->written.value_or(""), Kind::row_head},
           {where},
           {report::cents_off(*place.note->errors.own_cents)},
           {report::clock_time(*place.note->onset_s), Kind::figure}},
          fmt::format(" id=\"{}\" data-take=\"{}\"{}", id, take + 1, playback_attributes(*place.result, *place.note))};
}

/// The take of a note is in a column of its own, or in the caption when all notes are of one take.
void add_place_rows(Html& html, const PracticeFault& fault, const NamedTakes& takes, bool several,
                    std::string_view prefix) {
  std::vector<TableRow> rows;
  for (const FaultPlace& place : fault.places) {
    const std::size_t take = takes.number_of(*place.result);
    rows.push_back(place_row(place, take, fmt::format("{}row-{}", prefix, rows.size())));
    if (several) rows.back().cells.push_back({takes.name(take)});
  }
  std::string caption =
      rows.size() == 1 ? "The note, correct and as it was" : "The notes most out of tune, correct and as they were";
  if (!several) caption += " in " + takes.name(takes.number_of(*fault.places.front().result));
  std::vector<TableCell> headers{{"Note"}, {"Where"}, {"Error"}, {"Listen at", Kind::figure}};
  if (several) headers.push_back({"Take"});
  add_table(html, caption, headers, rows);
}

}  // namespace

NamedTakes::NamedTakes(const Practice& practice) {
  std::multiset<std::string> known;
  for (const PracticeFault& fault : practice.faults)
    for (const FaultPlace& place : fault.places) {
      if (std::find(takes_.begin(), takes_.end(), place.result) != takes_.end()) continue;
      takes_.push_back(place.result);
      const std::string name = take_name(*place.result);
      known.insert(name);
      names_.push_back(known.count(name) == 1 ? name : fmt::format("{} ({})", name, known.count(name)));
    }
}

std::size_t NamedTakes::number_of(const Result& take) const {
  return static_cast<std::size_t>(std::find(takes_.begin(), takes_.end(), &take) - takes_.begin());
}

void add_fault_places(Html& html, const PracticeFault& fault, const NamedTakes& takes, std::string_view prefix) {
  if (fault.places.empty()) return;
  html.begin("section", fmt::format(" aria-labelledby=\"{}places\"", prefix));
  html.raw(fmt::format("<h3 id=\"{}places\">Where it happened</h3>\n", prefix));
  const std::vector<std::size_t> numbers = takes_of(fault, takes);
  add_place_rows(html, fault, takes, numbers.size() > 1, prefix);
  std::vector<RecordingInput> inputs;
  for (const std::size_t take : numbers)
    inputs.push_back({std::to_string(take + 1), "Your recording of " + takes.name(take)});
  add_player_controls(html, prefix, inputs, fault.places.front().result->settings.reference);
  html.end("section");
}

}  // namespace firmus::page
