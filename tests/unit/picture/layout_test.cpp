// Layout of pictures: rows, labels, simplification of the pitch path.
#include <doctest/doctest.h>

#include <cmath>

#include "labels.hpp"
#include "line_breaks.hpp"
#include "made_result.hpp"
#include "pitch_path.hpp"
#include "placed_notes.hpp"
#include "svg.hpp"
#include "text_width.hpp"

using namespace firmus;
using namespace firmus::picture;

TEST_CASE("rows hold every note, in order, and are no longer than allowed") {
  const Result result = made::song_of(200);
  const auto notes = place_notes(result);
  for (const double longest_s : {3.0, 8.0, 20.0, 1000.0}) {
    const auto rows = break_into_rows(notes, *result.take.duration_s, longest_s);
    for (const Row& row : rows) CHECK(row.to_s - row.from_s <= longest_s + 1e-9);
    for (std::size_t i = 1; i < rows.size(); ++i) CHECK(rows[i].from_s >= rows[i - 1].to_s);
    for (const PlacedNote& note : notes) {
      double shown = 0;
      for (const Row& row : rows)
        shown += std::max(0.0, std::min(row.to_s, note.end_s) - std::max(row.from_s, note.onset_s));
      CHECK(shown == doctest::Approx(note.end_s - note.onset_s));
    }
  }
}

TEST_CASE("a row ends with a phrase, where one ends near its end") {
  std::vector<made::MadeNote> notes(16);
  notes[7].silence_s = 0.3;  // phrases are of eight notes
  const Result result = made::take_of(notes);
  const auto rows = break_into_rows(place_notes(result), *result.take.duration_s, 6.0);
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].to_s > 4.5);
  CHECK(rows[0].to_s < 4.8);  // the eighth note ends at 4.5 s
}

TEST_CASE("a long silence is not drawn") {
  std::vector<made::MadeNote> notes(4);
  notes[1].silence_s = 20;
  const Result result = made::take_of(notes);
  const auto rows = break_into_rows(place_notes(result), *result.take.duration_s, 60);
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].to_s < 2);
  CHECK(rows[1].from_s > 21);
}

TEST_CASE("a note longer than a row goes on in the next") {
  const Result result = made::take_of({{"C4", 0, 10.0}});
  const auto rows = break_into_rows(place_notes(result), *result.take.duration_s, 4.0);
  REQUIRE(rows.size() == 3);
  CHECK(rows[1].from_s == rows[0].to_s);
}

TEST_CASE("labels of a line are apart, and what has no room is left out") {
  std::vector<Label> labels;
  for (int i = 0; i < 40; ++i) labels.push_back({10.0 + 7 * i, 20, "word"});
  CHECK(place_labels(labels, 0, 300, 2, 4) > 0);
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (labels[i].line < 0) continue;
    CHECK(labels[i].x >= 0);
    CHECK(labels[i].x + labels[i].width <= 300);
    for (std::size_t j = i + 1; j < labels.size(); ++j)
      if (labels[j].line == labels[i].line) CHECK(labels[j].x >= labels[i].x + labels[i].width + 4);
  }
}

TEST_CASE("labels with room enough are all on the first line, over their notes") {
  std::vector<Label> labels{{50, 20, "a"}, {90, 20, "b"}};
  CHECK(place_labels(labels, 0, 300, 2, 4) == 0);
  CHECK(labels[0].line == 0);
  CHECK(labels[1].line == 0);
  CHECK(labels[1].x == 80);
}

TEST_CASE("the line with fewer points keeps within its tolerance") {
  std::vector<Point> points;
  for (int i = 0; i < 500; ++i) points.push_back({i * 0.3, 20 * std::sin(i * 0.05) + (i % 7) * 0.01});
  const auto fewer = simplified(points, 0.25);
  CHECK(fewer.size() < points.size() / 4);
  CHECK(fewer.front().x == points.front().x);
  CHECK(fewer.back().x == points.back().x);
  for (const Point& p : points) {
    double nearest = 1e9;
    for (std::size_t i = 1; i < fewer.size(); ++i) {
      const Point &a = fewer[i - 1], &b = fewer[i];
      if (p.x < a.x - 1e-9 || p.x > b.x + 1e-9) continue;
      nearest = std::min(nearest, std::fabs(a.y + (b.y - a.y) * (p.x - a.x) / (b.x - a.x) - p.y));
    }
    CHECK(nearest <= 0.75);  // up and down; across the line no more than 0.25
  }
}

TEST_CASE("numbers have one decimal and no minus before nothing") {
  CHECK(px(1.04) == "1");
  CHECK(px(-0.04) == "0");
  CHECK(px(2.25) == "2.2");  // halves to even, as binary has it
  CHECK(px(-12.34) == "-12.3");
}

TEST_CASE("a text is as wide as its letters") {
  // DejaVu Sans, units of 2048 an em: W 2025, i 569 (read from its table hmtx)
  CHECK(text_width("W", 10) == doctest::Approx(9.89).epsilon(0.01));
  CHECK(text_width("i", 10) == doctest::Approx(2.78).epsilon(0.01));
  CHECK(text_width("", 10) == 0);
  CHECK(cut_to("a long word", 30, 10).ends_with("..."));
  CHECK(text_width(cut_to("a long word", 30, 10), 10) <= 30);
  CHECK(cut_to("\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9", 30, 10) == "\xc3\xa9\xc3\xa9...");
}
