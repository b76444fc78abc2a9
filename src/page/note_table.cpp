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
constexpr double min_vibrato_cents = 10;  ///< vibrato of less is not told

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
      return "an earlier try";
    case NoteStatus::optional_left_out:
      return "left out, as the melody allows";
  }
  return {};
}

/// The verdict in a word, with the mark that it has in pictures.
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
      return {"\u00d7 another note"};
    case Verdict::unclear:
      break;
  }
  return {note.unclear_reason ? report::reason_in_words(*note.unclear_reason) : "not judged"};
}

std::string remarks(const NoteResult& note) {
  std::vector<std::string> parts;
  if (note.scoop_cents)
    parts.push_back(
        fmt::format("begins {:.0f} cents {}", std::fabs(*note.scoop_cents), *note.scoop_cents < 0 ? "below" : "above"));
  if (note.vibrato && note.vibrato->extent_cents >= min_vibrato_cents)
    parts.push_back(fmt::format("vibrato {:.1f} a second, {:.0f} cents either way", note.vibrato->rate_hz,
                                note.vibrato->extent_cents));
  return fmt::format("{}", fmt::join(parts, "; "));
}

/// What the row tells whoever wants to sound the note.
std::string row_attributes(const Result& result, const NoteResult& note, std::string_view prefix) {
  std::string text;
  const bool written = note.index && (note.status == NoteStatus::sung || note.status == NoteStatus::missing);
  if (written) text += fmt::format(" id=\"{}row-{}\"", prefix, *note.index);
  if (written) text += playback_attributes(result, note);
  return text;
}

std::string time_of(const NoteResult& note) {
  return note.onset_s ? report::clock_time(*note.onset_s) : "";
}

TableRow row_of(const Result& result, const NoteResult& note, std::string_view prefix, bool has_words) {
  std::string where = report::place_of(result, note);
  if (where.empty() || note.status == NoteStatus::restart) where = status_in_words(note.status);
  TableRow row{{}, row_attributes(result, note, prefix)};
  if (result.melody) row.cells = {{where, Kind::row_head}, {note.written.value_or("")}};
  if (has_words) row.cells.push_back({note.word.value_or("")});
  row.cells.push_back({note.sung.value_or(""), result.melody ? Kind::words : Kind::row_head});
  row.cells.push_back({error_figure(result, note), Kind::figure});
  row.cells.push_back({note.se_cents ? fmt::format("{:.1f}", *note.se_cents) : "", Kind::figure});
  if (result.melody) row.cells.push_back(verdict_cell(note));
  row.cells.push_back({time_of(note), Kind::figure});
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
  std::vector<TableCell> heads;
  if (result.melody) heads = {{"Where"}, {"Written"}};
  if (has_words) heads.push_back({"Word"});
  heads.push_back({"Sung"});
  heads.push_back({"Cents off", Kind::figure});
  heads.push_back({"Standard error", Kind::figure});
  if (result.melody) heads.push_back({"Verdict"});
  heads.push_back({"Listen at", Kind::figure});
  heads.push_back({"Beside"});
  std::vector<TableRow> rows;
  for (const NoteResult& note : result.notes) rows.push_back(row_of(result, note, prefix, has_words));
  add_table(html, "Every note, in the order of the take", heads, rows);
}

void add_furthest(Html& html, const Result& result) {
  std::vector<const NoteResult*> far = report::furthest_first(result);
  std::erase_if(far, [&](const NoteResult* note) { return result.melody && note->verdict == Verdict::in_tune; });
  if (far.empty()) return;
  far.resize(std::min(far.size(), max_furthest));
  std::vector<TableRow> rows;
  for (const NoteResult* note : far) {
    std::string where = report::place_of(result, *note);
    if (note->word) where += ", " + *note->word;
    rows.push_back({{{note->written.value_or(note->sung.value_or("")), Kind::row_head},
                     {where},
                     {report::cents_off(*report::error_of(result, *note))},
                     {time_of(*note), Kind::figure}}});
  }
  add_table(html, far.size() == 1 ? "The note furthest off" : fmt::format("The {} notes furthest off", far.size()),
            {{"Note"}, {"Where"}, {"How far"}, {"Listen at", Kind::figure}}, rows);
}

}  // namespace firmus::page
