#include "note_table.hpp"

#include <fmt/format.h>

#include <cmath>

#include "base/markup.hpp"
#include "note_player.hpp"
#include "report/words.hpp"

namespace firmus::page {
namespace {

using Kind = TableCell::Kind;

constexpr std::size_t max_furthest = 5;
constexpr double min_vibrato_cents = 10;  ///< a smaller extent of vibrato is not mentioned

std::string error_figure(const Result& result, const NoteResult& note) {
  const auto error = report::error_of(result, note);
  return error ? report::signed_cents(*error) : "";
}

std::string status_in_words(NoteStatus status) {
  switch (status) {
    case NoteStatus::sung:
      return "sung";
    case NoteStatus::missing:
      return "missing";
    case NoteStatus::extra:
      return "not written";
    case NoteStatus::restart:
      return "earlier try";
    case NoteStatus::optional_left_out:
      return "left out, as the melody allows";
  }
  return {};
}

/// The verdict as a word, with the mark that pictures use for it.
TableCell verdict_cell(const NoteResult& note) {
  if (note.status != NoteStatus::sung || !note.verdict) return {status_in_words(note.status)};
  switch (*note.verdict) {
    case Verdict::in_tune:
      return {"in tune"};
    case Verdict::sharp:
      return {"\u25b2 sharp", Kind::words, " class=\"sharp\""};
    case Verdict::flat:
      return {"\u25bc flat", Kind::words, " class=\"flat\""};
    case Verdict::other_note:
      return {"\u00d7 " + report::other_octave_in_words(note).value_or("wrong note")};
    case Verdict::unclear:
      break;
  }
  return {note.unclear_reason ? report::reason_in_words(*note.unclear_reason) : "not judged"};
}

std::string remarks(const NoteResult& note) {
  std::vector<std::string> parts;
  if (note.scoop_cents)
    parts.push_back(fmt::format("{} from {:.0f} cents {}", *note.scoop_cents < 0 ? "scooped up" : "came down",
                                std::fabs(*note.scoop_cents), *note.scoop_cents < 0 ? "below" : "above"));
  if (note.vibrato && note.vibrato->extent_cents >= min_vibrato_cents)
    parts.push_back(fmt::format("vibrato {:.1f} a second, {:.0f} cents either way", note.vibrato->rate_hz,
                                note.vibrato->extent_cents));
  return fmt::format("{}", fmt::join(parts, "; "));
}

/// Id and playback data of the row of a written note.
std::string row_attributes(const Result& result, const NoteResult& note, std::string_view prefix) {
  std::string text;
  const bool written = note.index && (note.status == NoteStatus::sung || note.status == NoteStatus::missing);
  if (written) text += fmt::format(" id=\"{}row-{}\"", prefix, *note.index);
  if (written) text += playback_attributes(result, note);
  return text;
}

std::string onset_time(const NoteResult& note) {
  return note.onset_s ? report::clock_time(*note.onset_s) : "";
}

TableRow note_row(const Result& result, const NoteResult& note, std::string_view prefix, bool has_words) {
  std::string where = report::place_of(result, note);
  if (where.empty() || note.status == NoteStatus::restart) where = status_in_words(note.status);
  TableRow row{{}, row_attributes(result, note, prefix)};
  if (result.melody) row.cells = {{where, Kind::row_head}, {note.written.value_or("")}};
  if (has_words) row.cells.push_back({note.word.value_or("")});
  if (result.melody)
    row.cells.push_back({note.sung.value_or("")});
  else
    row.cells.push_back({note.written.value_or(note.sung.value_or("")), Kind::row_head});
  row.cells.push_back({error_figure(result, note), Kind::figure});
  row.cells.push_back({note.se_cents ? fmt::format("{:.1f}", *note.se_cents) : "", Kind::figure});
  if (result.melody) row.cells.push_back(verdict_cell(note));
  row.cells.push_back({onset_time(note), Kind::figure});
  row.cells.push_back({remarks(note)});
  return row;
}

bool any_word(const Result& result) {
  for (const NoteResult& note : result.notes)
    if (note.word) return true;
  return false;
}

}  // namespace

void add_note_table(Html& html, const Result& result, std::string_view prefix) {
  const bool has_words = any_word(result);
  std::vector<TableCell> headers;
  if (result.melody) headers = {{"Where"}, {"Written"}};
  if (has_words) headers.push_back({"Word"});
  headers.push_back({"Sung"});
  headers.push_back({"Error (cents)", Kind::figure});
  headers.push_back({"Uncertainty (cents)", Kind::figure});
  if (result.melody) headers.push_back({"Verdict"});
  headers.push_back({"Listen at", Kind::figure});
  headers.push_back({"Remarks"});
  std::vector<TableRow> rows;
  for (const NoteResult& note : result.notes) rows.push_back(note_row(result, note, prefix, has_words));
  add_table(html, "Every note in order", headers, rows);
}

void add_furthest(Html& html, const Result& result) {
  std::vector<const NoteResult*> furthest = report::furthest_first(result);
  std::erase_if(furthest, [](const NoteResult* note) { return note->verdict == Verdict::in_tune; });
  if (furthest.empty()) return;
  furthest.resize(std::min(furthest.size(), max_furthest));
  std::vector<TableRow> rows;
  for (const NoteResult* note : furthest) {
    std::string where = report::place_of(result, *note);
    if (note->word) where += ", " + *note->word;
    rows.push_back({{{note->written.value_or(note->sung.value_or("")), Kind::row_head},
                     {where},
                     {report::cents_off(*report::error_of(result, *note))},
                     {onset_time(*note), Kind::figure}}});
  }
  add_table(html,
            furthest.size() == 1 ? "The note most out of tune"
                                 : fmt::format("The {} notes most out of tune", furthest.size()),
            {{"Note"}, {"Where"}, {"Error"}, {"Listen at", Kind::figure}}, rows);
}

}  // namespace firmus::page
