#include <doctest/doctest.h>

#include <cmath>

#include "base/frames.hpp"
#include "ideal.hpp"

using namespace firmus;
using namespace firmus::test;

namespace {

/// Three notes of one pitch in the second bar, two in the third.
Melody with_repeats() {
  return read_melody("meter: 4/4\nC4 E4 G4 B4 | F4 F4 F4:2 | D4 A4:2 A4 | G4 E4 D4 C4", "repeats");
}

/// Sung exactly, but each of `notes` sounds on into the one after it, without a gap or an onset.
std::vector<Sounding> sung_as_one(const Melody& melody, std::vector<std::size_t> notes) {
  auto sung = sing_exactly(melody, 0.5, 0.5);
  for (auto i = notes.rbegin(); i != notes.rend(); ++i) {
    sung[*i].end_s = sung[*i + 1].end_s;
    sung.erase(sung.begin() + static_cast<std::ptrdiff_t>(*i) + 1);
  }
  return sung;
}

std::string joined_in(const Decoded& decoded) {
  std::string joined;
  for (const DecodedNote& note : decoded.notes)
    if (note.joined) joined += (joined.empty() ? "" : " ") + std::to_string(*note.written);
  return joined;
}

const std::string all_notes = "0 1 2 3 4 5 6 7 8 9 10 11 12 13";

}  // namespace

TEST_CASE(
    "written notes of one pitch that sound as one are all sung, at their beats, and those after the first are joined") {
  const Melody melody = with_repeats();
  const Decoded decoded = decode_melody(ideal_evidence(sung_as_one(melody, {4, 5, 8}), 10), melody);
  CHECK(order_of(decoded) == all_notes);
  CHECK(joined_in(decoded) == "5 6 9");
  const auto exactly = sing_exactly(melody, 0.5, 0.5);
  for (std::size_t i = 0; i < exactly.size(); ++i) {
    CAPTURE(i);
    CHECK(std::abs(decoded.notes[i].onset_s - exactly[i].onset_s) < 0.05);
  }
  CHECK(decoded.notes[4].end_s == doctest::Approx(decoded.notes[5].onset_s));
  CHECK(decoded.decision == AlignmentDecision::sure);
}

TEST_CASE("a dip of the level shows where a note begins within a sound") {
  const Melody melody = with_repeats();
  Ideal ideal = ideal_evidence(sung_as_one(melody, {8}), 10);
  const double onset_s = 0.5 + 11 * 0.5 + 0.04;  // a little late
  for (std::size_t i = 0; i < 8; ++i) ideal.evidence.level_db[frame_at(onset_s) - 4 + i] -= 6;
  const Decoded decoded = decode_melody(ideal, melody);
  CHECK(order_of(decoded) == all_notes);
  CHECK(joined_in(decoded).empty());
  CHECK(std::abs(decoded.notes[9].onset_s - onset_s) < 0.03);
}

TEST_CASE("a repeated note is missing where there is silence in its place, and where the next note comes at once") {
  const Melody melody = with_repeats();
  auto silent = sing_exactly(melody, 0.5, 0.5);
  silent.erase(silent.begin() + 9);
  const Decoded in_silence = decode_melody(ideal_evidence(silent, 10), melody);
  CHECK(order_of(in_silence) == "0 1 2 3 4 5 6 7 8 10 11 12 13");
  CHECK(in_silence.written[9] == NoteStatus::missing);
  auto cut = silent;
  for (std::size_t i = 9; i < cut.size(); ++i) {
    cut[i].onset_s -= 0.5;
    cut[i].end_s -= 0.5;
  }
  const Decoded cut_out = decode_melody(ideal_evidence(cut, 10), melody);
  CHECK(order_of(cut_out) == "0 1 2 3 4 5 6 7 8 10 11 12 13");
  CHECK(joined_in(cut_out).empty());
}

TEST_CASE("a line that is mostly one note held through is found, and its intervals decide whether it is this melody") {
  const Melody melody = read_melody("C4 C4 C4 E4 | E4 E4 E4 G4 | G4 G4 F4 F4 | F4 F4 D4 D4 | D4 D4 D4 C4", "recited");
  const Decoded decoded =
      decode_melody(ideal_evidence(sung_as_one(melody, {0, 1, 3, 4, 5, 7, 8, 10, 11, 12, 14, 15, 16, 17}), 12), melody);
  CHECK(order_of(decoded) == "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19");
  CHECK(decoded.decision == AlignmentDecision::sure);
}

TEST_CASE("a note across a breath, or after a rest, is not taken for a part of the one before") {
  for (const char* const text :
       {"C4 E4 G4 , G4 | F4 E4 D4 C4 E4 F4 D4 C4", "C4 E4 G4 rest G4 | F4 E4 D4 C4 E4 F4 D4 C4"}) {
    CAPTURE(text);
    const Melody melody = read_melody(text, "parted");
    auto sung = sing_exactly(melody, 0.5, 0.5);
    sung[2].end_s = sung[3].end_s;
    sung.erase(sung.begin() + 3);
    const Decoded decoded = decode_melody(ideal_evidence(sung, 10), melody);
    CHECK(joined_in(decoded).empty());
  }
}
