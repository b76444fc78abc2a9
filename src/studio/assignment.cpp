#include <fmt/format.h>

#include <array>
#include <set>

#include "base/ascii.hpp"
#include "base/base.hpp"
#include "firmus/grading.hpp"
#include "rubric.hpp"

namespace firmus {
namespace {

constexpr double most_verses = 99;

using studio::StrictObject;

constexpr double heaviest = 1000;
constexpr double largest_tolerance_cents = 100;  // a larger error makes it another note
constexpr std::size_t most_pieces = 1000;

void read_path(StrictObject& object, std::string_view key, std::optional<std::string>& target) {
  object.read(key, [&](const JsonIn& in) {
    target = in.text();
    if (target->empty() || target->find('\0') != std::string::npos)
      in.reject("is not a path", "give the name of a file or folder, seen from the assignment's own");
  });
}

void read_date(StrictObject& object, std::optional<std::string>& target) {
  object.read("date", [&](const JsonIn& in) {
    target = in.text();
    if (!is_date(*target)) in.reject("is not a date", "write it as in \"2031-05-17\"");
  });
}

Piece piece_in(const JsonIn& in, Diagnostics& problems) {
  Piece piece;
  StrictObject object(
      in, {"id", "melody", "part", "tune", "verse", "bars", "match", "weight", "reference", "tolerance_cents"},
      problems);
  for (const std::string_view key : {"id", "melody"})
    if (!object.has(key)) in.reject(fmt::format("lacks \"{}\"", key), "each piece has an id and a melody");
  object.read("id", [&](const JsonIn& id) {
    piece.id = id.text();
    if (const std::string fault = fault_of_id(piece.id); !fault.empty())
      id.reject(fault, "give 1 to 64 bytes of UTF-8 without these, such as \"kite\"");
  });
  std::optional<std::string> melody;
  read_path(object, "melody", melody);
  piece.melody_path = melody.value_or("");
  object.read("part", [&](const JsonIn& part) { piece.line.part = part.text(); });
  object.read("tune", [&](const JsonIn& tune) { piece.line.tune = tune.text(); });
  object.read("verse", [&](const JsonIn& verse) {
    piece.line.verse = static_cast<int>(studio::number_within(verse, 1, most_verses));
  });
  object.read("bars", [&](const JsonIn& bars) {
    piece.bars = parse_bar_range(bars.text());
    if (!piece.bars) bars.reject("is not a range of bars", "write the first and the last, such as \"9-16\"");
  });
  object.read("match", [&](const JsonIn& match) {
    piece.match = match.text();
    try {
      require_pattern(*piece.match, {});
    } catch (const InputError& error) {
      match.reject("cannot be used: " + error.problems().front().what, error.problems().front().remedy);
    }
  });
  object.read("weight", [&](const JsonIn& weight) {
    piece.weight = studio::number_within(weight, 0, heaviest);
    if (piece.weight == 0) weight.reject("is 0", "give a number above 0, or leave the piece out");
  });
  object.read("reference", [&](const JsonIn& reference) { piece.reference = reference.one_of<Reference>(); });
  object.read("tolerance_cents", [&](const JsonIn& tolerance) {
    piece.tolerance_cents = studio::number_within(tolerance, 0, largest_tolerance_cents);
    if (piece.tolerance_cents == 0.0) tolerance.reject("is 0", "give a number above 0");
  });
  return piece;
}

std::vector<Piece> pieces_in(const JsonIn& in, Diagnostics& problems) {
  if (in.size() == 0 || in.size() > most_pieces) in.reject("has no piece, or too many", "give 1 to 1000 pieces");
  std::vector<Piece> pieces;
  std::set<std::string> ids;
  for (std::size_t i = 0; i < in.size(); ++i) {
    try {
      pieces.push_back(piece_in(in.item(i), problems));
      if (!ids.insert(lower_ascii(pieces.back().id)).second && !pieces.back().id.empty())
        in.item(i).at("id").reject("is the id of another piece", "give each its own; capitals do not count");
    } catch (const InputError& error) {
      studio::add_all(problems, error);
    }
  }
  return pieces;
}

/// The rubric is given as an object, or as the name of a file that contains it.
void read_rubric_or_path(const JsonIn& in, Assignment& assignment, Diagnostics& problems) {
  if (in.is_object()) {
    assignment.rubric = studio::rubric_in(in, problems);
    return;
  }
  assignment.rubric_path = in.text();
}

}  // namespace

Assignment read_assignment(std::string_view json, const std::string& file) {
  Diagnostics problems(file, "error");
  const JsonSource source(json, file,
                          "give an assignment: {\"pieces\": [{\"id\": \"kite\", \"melody\": \"kite.melody\"}]}");
  const JsonIn in(source);
  Assignment assignment;
  StrictObject object(in, {"title", "date", "takes", "roster", "pieces", "rubric", "tries", "overrides"}, problems);
  object.read_text("title", assignment.title);
  read_date(object, assignment.date);
  read_path(object, "takes", assignment.takes_path);
  read_path(object, "roster", assignment.roster_path);
  read_path(object, "overrides", assignment.overrides_path);
  object.read("rubric", [&](const JsonIn& rubric) { read_rubric_or_path(rubric, assignment, problems); });
  object.read("tries", [&](const JsonIn& attempts) { assignment.attempts = attempts.one_of<TriesRule>(); });
  if (in.is_object() && !object.has("pieces")) in.reject("the assignment lacks \"pieces\"", source.wanted());
  object.read("pieces", [&](const JsonIn& pieces) { assignment.pieces = pieces_in(pieces, problems); });
  problems.throw_if_any();
  return assignment;
}

}  // namespace firmus
