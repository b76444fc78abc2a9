// Takes that are cut off at either end, and silence within and behind them.
#include <doctest/doctest.h>

#include <cmath>

#include "ideal.hpp"

using namespace firmus;
using namespace firmus::test;

namespace {

const std::string sixteen = "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15";

std::vector<Sounding> part_of(const Melody& melody, std::size_t from, std::size_t to, double begin_s) {
  const auto whole = sing_exactly(melody, begin_s, 0.5);
  return {whole.begin() + static_cast<std::ptrdiff_t>(from), whole.begin() + static_cast<std::ptrdiff_t>(to)};
}

}  // namespace

TEST_CASE("a take cut off within any note lacks the rest and gives no sound to the notes behind the cut") {
  const Melody melody = two_phrases();
  for (std::size_t last = 8; last < 16; ++last) {
    for (const double last_s : {0.1, 0.2, 0.4}) {
      CAPTURE(last);
      CAPTURE(last_s);
      auto sung = part_of(melody, 0, last + 1, 0.5);
      sung.back().end_s = sung.back().onset_s + last_s;
      const Decoded decoded = decode_melody(ideal_evidence(sung, sung.back().end_s), melody);
      for (std::size_t j = 0; j < last; ++j) {
        CHECK(decoded.written[j] == NoteStatus::sung);
        CHECK(decoded.notes[j].written == static_cast<int>(j));
      }
      for (std::size_t j = last + 1; j < 16; ++j) CHECK(decoded.written[j] == NoteStatus::missing);
      CHECK(decoded.decision == AlignmentDecision::sure);
    }
  }
}

TEST_CASE("a take that begins within a note lacks what was before it, and no note of it goes to the first ones") {
  const Melody melody = two_phrases();
  for (std::size_t first = 1; first < 8; ++first) {
    CAPTURE(first);
    auto sung = part_of(melody, first, 16, 0);
    const double cut_s = sung.front().onset_s + 0.1;
    sung.front().onset_s = cut_s;
    for (auto& note : sung) {
      note.onset_s -= cut_s;
      note.end_s -= cut_s;
    }
    const Decoded decoded = decode_melody(ideal_evidence(sung, sung.back().end_s + 1), melody);
    for (std::size_t j = 0; j < first; ++j) CHECK(decoded.written[j] == NoteStatus::missing);
    for (std::size_t j = first + 1; j < 16; ++j) CHECK(decoded.written[j] == NoteStatus::sung);
  }
}

TEST_CASE("silence behind the last note, however long, changes nothing") {
  const Melody melody = two_phrases();
  const auto sung = sing_exactly(melody, 0.5, 0.5);
  const Decoded soon = decode_melody(ideal_evidence(sung, sung.back().end_s + 0.5), melody);
  for (const double silence_s : {2.0, 9.0, 30.0}) {
    CAPTURE(silence_s);
    const Decoded late = decode_melody(ideal_evidence(sung, sung.back().end_s + silence_s), melody);
    CHECK(order_of(late) == sixteen);
    CHECK(late.notes.back().end_s == soon.notes.back().end_s);
  }
}

TEST_CASE("a rest of any length within a melody loses no note") {
  const Melody melody = two_phrases();
  for (const double rest_s : {5.0, 9.0, 30.0}) {
    CAPTURE(rest_s);
    auto sung = sing_exactly(melody, 0.5, 0.5);
    for (std::size_t i = 9; i < sung.size(); ++i) {
      sung[i].onset_s += rest_s;
      sung[i].end_s += rest_s;
    }
    CHECK(order_of(decode_melody(ideal_evidence(sung, sung.back().end_s + 0.5), melody)) == sixteen);
  }
}
