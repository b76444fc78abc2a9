// Whatever the bytes: the readers of an assignment, a rubric, a roster and overrides return what keeps to the limits,
// or throw InputError with 1 to 21 problems; a pattern that was read matches any name in bounded time.
#include <cstdint>
#include <cstdlib>
#include <set>
#include <string_view>

#include "firmus/grading.hpp"

namespace {

void require(bool holds) {
  if (!holds) std::abort();
}

template <class Read>
void read(const Read& reader) {
  try {
    reader();
  } catch (const firmus::InputError& error) {
    require(!error.problems().empty() && error.problems().size() <= 21);
    for (const firmus::Problem& problem : error.problems()) require(!to_line(problem).empty());
  }
}

void check(const firmus::Rubric& rubric) {
  require(!rubric.bands.empty() && rubric.bands.front().points > 0);
  for (std::size_t i = 1; i < rubric.bands.size(); ++i) {
    require(rubric.bands[i].within_cents > rubric.bands[i - 1].within_cents);
    require(rubric.bands[i].points <= rubric.bands[i - 1].points);
  }
  require(rubric.missing <= 0 && rubric.extra <= 0 && rubric.other_note <= 0);
  require(rubric.least_judged_share >= 0 && rubric.least_judged_share <= 1);
}

void check(const firmus::Assignment& assignment) {
  require(!assignment.pieces.empty());
  check(assignment.rubric);
  firmus::Matching matching{{{"ana", "ben"}}, assignment.pieces, true};
  for (const firmus::Piece& piece : assignment.pieces) {
    require(firmus::fault_of_id(piece.id).empty() && piece.weight > 0);
    matching.pieces.resize(std::min<std::size_t>(matching.pieces.size(), 8));
  }
  read([&] {
    (void)firmus::match_takes({"ana-kite-2.wav", std::string(200, 'a') + ".wav", "ben ana.flac"}, matching);
  });
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  read([&] { check(firmus::read_assignment(text, "fuzz")); });
  read([&] { check(firmus::read_rubric(text, "fuzz")); });
  read([&] {
    const std::vector<std::string> ids = firmus::read_roster(text, "fuzz");
    require(!ids.empty() && std::set<std::string>(ids.begin(), ids.end()).size() == ids.size());
    for (const std::string& id : ids) require(firmus::fault_of_id(id).empty());
  });
  read([&] {
    firmus::Piece piece;
    piece.id = "kite";
    for (const firmus::Override& one : firmus::read_overrides(text, "fuzz", {"ana", "ben"}, {piece}, 1))
      require(one.mark >= 0 && one.mark <= 100);
  });
  return 0;
}
