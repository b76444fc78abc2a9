// Passages that are sung again within a take.
#include <doctest/doctest.h>

#include <initializer_list>

#include "ideal.hpp"

using namespace firmus;
using namespace firmus::test;

namespace {
/// Notes `from` to before `to` of the melody, sung from `begin_s` on.
void sing_part(std::vector<Sounding>& sung, const Melody& melody, std::size_t from, std::size_t to, double begin_s) {
  auto part = sing_exactly(melody, 0, 0.5);
  for (std::size_t i = from; i < to; ++i)
    sung.push_back(
        {part[i].onset_s - part[from].onset_s + begin_s, part[i].end_s - part[from].onset_s + begin_s, part[i].hz});
}

struct Passage {
  std::size_t from, to;  ///< notes, the last one excluded
  double begin_s;
};
/// What is found where passages of the melody are sung one after the other.
Decoded decoded(const Melody& melody, std::initializer_list<Passage> passages, double length_s) {
  std::vector<Sounding> sung;
  for (const Passage& passage : passages) sing_part(sung, melody, passage.from, passage.to, passage.begin_s);
  return decode_melody(ideal_evidence(sung, length_s), melody);
}
}  // namespace

TEST_CASE("after a jump back the notes that are sung again and go on count, and the earlier ones are restarts") {
  const Decoded found = decoded(two_phrases(), {{0, 12, 0.5}, {6, 16, 9}}, 17);
  CHECK(order_of(found) == "0 1 2 3 4 5 r6 r7 r8 r9 r10 r11 6 7 8 9 10 11 12 13 14 15");
  REQUIRE(found.attempts.size() == 1);
  CHECK(found.attempts[0].missing == 0);
}

TEST_CASE("of several tries at a phrase the last one counts") {
  const Melody melody = read_melody(
      "meter: 4/4\nC4 E4 G4 C5 | B4 G4 E4 C4 , | A4 C5 B4 D5 | C5 A4 F4 D4 , | E4 G4 B4 D5 | C5:2 C4:2", "m");
  CHECK(order_of(decoded(melody, {{0, 15, 0.5}, {8, 15, 10}, {8, 22, 16}}, 25)) ==
        "0 1 2 3 4 5 6 7 r8 r9 r10 r11 r12 r13 r14 r8 r9 r10 r11 r12 r13 r14 8 9 10 11 12 13 14 15 16 17 18 19 20 21");
}

TEST_CASE("of a few notes tried again the last time counts where a bar was broken off, after a whole bar the first") {
  CHECK(order_of(decoded(two_phrases(), {{0, 14, 0.5}, {10, 16, 10}}, 15)) ==
        "0 1 2 3 4 5 6 7 8 9 10 11 12 13 r10 r11 r12 r13 14 15");
  CHECK(order_of(decoded(two_phrases(), {{0, 13, 0.5}, {10, 16, 10}}, 15)) ==
        "0 1 2 3 4 5 6 7 8 9 r10 r11 r12 10 11 12 13 14 15");
}

TEST_CASE("a phrase tried once more after the end and broken off does not count") {
  CHECK(order_of(decoded(two_phrases(), {{0, 16, 0.5}, {10, 15, 12}}, 16)) ==
        "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 r10 r11 r12 r13 r14");
}
