#include "decode/path_hypothesis.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace firmus::decode;

TEST_CASE("a path that begins here has none before it, though its storage held another at an earlier boundary") {
  StateGrid grid;
  grid.key_cents = {0, 100};
  grid.quarter_s = {0.5, 0.6, 0.7};
  PendingByPosition into_note(4, grid);
  PathHypothesis earlier;
  earlier.score.assign(grid.cells(), -1.0F);
  earlier.back_pointer.assign(grid.cells(), 77);
  earlier.key_to = grid.key_cents.size();
  relax(grid, earlier, 0, into_note.activate(2));
  CHECK(into_note.at(2).path_end.front() == 77);
  into_note.clear();

  begin_path(-5, into_note.activate(1));
  CHECK(std::ranges::count(into_note.at(1).score, -5.0F) == 6);
  CHECK(std::ranges::count(into_note.at(1).path_end, 0U) == 6);
}

TEST_CASE("a path that begins here replaces only those with a lower score") {
  StateGrid grid;
  grid.key_cents = {0};
  grid.quarter_s = {0.5, 0.6};
  PathHypothesis arriving;
  arriving.score = {-3.0F, -9.0F};
  arriving.back_pointer = {11, 12};
  arriving.key_to = 1;
  PendingHypotheses into;
  into.activate(grid);
  relax(grid, arriving, 0, into);
  begin_path(-5, into);
  CHECK(into.score == StateScores{-3.0F, -5.0F});
  CHECK(into.path_end == std::vector<std::uint32_t>{11, 0});
}
