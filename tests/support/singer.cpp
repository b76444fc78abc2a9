#include "singer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <stdexcept>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

constexpr double speaking_share = 0.62;  // of the first note's pitch
constexpr double talk_pause_s = 0.8;     // between talk and singing
constexpr std::string_view truth_header = "onset_s,end_s,written_index,sung_hz,cents_from_written,kind";

double number(std::string_view cell, int line) {
  double value = 0;
  const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (fault != std::errc{} || end != cell.data() + cell.size()) {
    throw std::runtime_error(fmt::format("truth line {}: \"{}\" is not a number", line, cell));
  }
  return value;
}

std::vector<std::string_view> cut(std::string_view text, char at) {
  std::vector<std::string_view> parts;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t to = std::min(text.find(at, from), text.size());
    parts.push_back(text.substr(from, to - from));
    from = to + 1;
  }
  return parts;
}

Kind kind_of(std::string_view cell, int line) {
  for (const Kind kind : {Kind::sung, Kind::restart, Kind::extra}) {
    if (to_string(kind) == cell) return kind;
  }
  throw std::runtime_error(fmt::format("truth line {}: \"{}\" is no kind", line, cell));
}

SungNote read_row(std::string_view row, int line) {
  const auto cells = cut(row, ',');
  if (cells.size() != 6) throw std::runtime_error(fmt::format("truth line {}: not six cells", line));
  SungNote note;
  note.onset_s = number(cells[0], line);
  note.end_s = number(cells[1], line);
  const int written = static_cast<int>(number(cells[2], line));
  if (written >= 0) note.written = written;
  note.sung_hz = number(cells[3], line);
  if (!cells[4].empty()) note.cents_from_written = number(cells[4], line);
  note.kind = kind_of(cells[5], line);
  return note;
}

}  // namespace

std::string_view to_string(Kind kind) {
  switch (kind) {
    case Kind::sung:
      return "sung";
    case Kind::restart:
      return "restart";
    case Kind::extra:
      return "extra";
  }
  return "";
}

Performance sing(const Melody& melody, const Plan& plan) {
  std::vector<TimedNote> notes = time_notes(melody, plan);
  const double last_s = notes.empty() ? plan.lead_s + plan.talk_s : notes.back().truth.end_s;
  Score score;
  score.frames.resize(static_cast<std::size_t>((last_s + plan.tail_s) * control_rate_hz));
  if (plan.talk_s > talk_pause_s && !notes.empty()) {
    write_talk(score, plan.lead_s, plan.lead_s + plan.talk_s - talk_pause_s,
               speaking_share * notes.front().truth.sung_hz, plan);
  }
  write_notes(score, notes, plan);
  Performance performance;
  performance.samples = record(render_voice(score, plan), plan);
  for (const TimedNote& note : notes) {
    SungNote truth = note.truth;
    if (truth.written) {
      const WrittenNote& written = melody.notes[static_cast<std::size_t>(*truth.written)];
      truth.cents_from_written = cents_between(written.target_hz, Hertz(truth.sung_hz));
    }
    performance.notes.push_back(truth);
  }
  return performance;
}

std::string truth_csv(const std::vector<SungNote>& notes) {
  std::string csv = fmt::format("{}\n", truth_header);
  for (const SungNote& note : notes) {
    csv += fmt::format("{:.3f},{:.3f},{},{:.4f},{},{}\n", note.onset_s, note.end_s, note.written.value_or(-1),
                       note.sung_hz, note.cents_from_written ? fmt::format("{:.2f}", *note.cents_from_written) : "",
                       to_string(note.kind));
  }
  return csv;
}

std::vector<SungNote> read_truth_csv(std::string_view text) {
  const auto lines = cut(text, '\n');
  if (lines.empty() || lines[0] != truth_header) throw std::runtime_error("truth line 1: not the header");
  std::vector<SungNote> notes;
  for (std::size_t i = 1; i < lines.size(); ++i) {
    if (!lines[i].empty()) notes.push_back(read_row(lines[i], static_cast<int>(i) + 1));
  }
  return notes;
}

}  // namespace firmus::singer
