// What a Standard MIDI File says (Standard MIDI Files 1.0, RP-001).
#include "xml_score.hpp"

using namespace firmus;

namespace {

std::string number(std::uint32_t value, int bytes) {
  std::string text;
  for (int i = bytes - 1; i >= 0; --i) text += static_cast<char>(value >> (8 * i) & 0xFF);
  return text;
}
/// A variable-length quantity of up to two bytes.
std::string wait(int ticks) {
  std::string text;
  if (ticks >= 128) text += static_cast<char>(0x80 | ticks >> 7);
  return text + static_cast<char>(ticks & 0x7F);
}
std::string meta(int kind, const std::string& data) {
  return std::string(1, '\xFF') + static_cast<char>(kind) + static_cast<char>(data.size()) + data;
}
std::string on(int key, int channel = 0) {
  return std::string(1, static_cast<char>(0x90 + channel)) + static_cast<char>(key) + '\x40';
}
std::string off(int key, int channel = 0) {
  return std::string(1, static_cast<char>(0x80 + channel)) + static_cast<char>(key) + '\x40';
}
std::string track(const std::string& events) {
  const std::string all = events + wait(0) + meta(0x2F, "");
  return "MTrk" + number(static_cast<std::uint32_t>(all.size()), 4) + all;
}
std::string midi(int format, const std::vector<std::string>& tracks, int division = 480) {
  std::string file = "MThd" + number(6, 4) + number(static_cast<std::uint32_t>(format), 2) +
                     number(static_cast<std::uint32_t>(tracks.size()), 2) +
                     number(static_cast<std::uint32_t>(division), 2);
  for (const std::string& one : tracks) file += track(one);
  return file;
}
/// Notes one after the other, in ticks.
std::string played(const std::vector<std::pair<int, int>>& notes, int channel = 0) {
  std::string events;
  for (const auto& [key, ticks] : notes) events += wait(0) + on(key, channel) + wait(ticks) + off(key, channel);
  return events;
}
const std::string three_four = wait(0) + meta(0x58, std::string("\x03\x02\x18\x08", 4));

}  // namespace

TEST_CASE("notes, meter, key and tempo of a file of one track") {
  const std::string key = wait(0) + meta(0x59, std::string("\xFD\x00", 2));        // three flats
  const std::string tempo = wait(0) + meta(0x51, std::string("\x07\xA1\x20", 3));  // 500 000 us
  const Melody melody =
      read_line(midi(0, {three_four + key + tempo + played({{60, 480}, {63, 240}, {68, 720}, {62, 480}})}));
  CHECK(timeline(melody) == "C4@0+1 Eb4@1+1/2 Ab4@3/2+3/2 D4@3+1");
  CHECK(places(melody) == "1.1 1.2 1.5/2 2.1");
  CHECK(key_name(*melody.key) == "Eb major");
  CHECK(melody.tempo_text == "120");
  CHECK(melody.warnings.empty());
}

TEST_CASE(
    "times a few ticks beside a simple fraction are that fraction; a running status and a note on without force") {
  const std::string events = wait(1) + on(60) + wait(476) + std::string("\x3C\x00", 2) + wait(4) +
                             std::string("\x3E\x40", 2) + wait(159) + std::string("\x3E\x00", 2);
  CHECK(timeline(read_line(midi(0, {events}))) == "C4@0+1 D4@1+1/3");
}

TEST_CASE("a note over bar lines is one note, a gap is a rest, a new meter begins a bar") {
  const std::string two_four = wait(0) + meta(0x58, std::string("\x02\x02\x18\x08", 4));
  const Melody melody = read_line(midi(0, {three_four + played({{60, 1920}}) + wait(480) + on(62) + wait(480) +
                                           off(62) + two_four + played({{64, 960}, {65, 480}})}));
  CHECK(timeline(melody) == "C4@0+4 D4@5+1 E4@6+2 F4@8+1");
  CHECK(places(melody) == "1.1 2.3 3.1 4.1");
}

TEST_CASE("tracks are parts in format 1, channels in format 0; percussion is not a melody") {
  const std::string flute = wait(0) + meta(0x03, "Flute") + played({{72, 480}});
  const std::string drums = wait(0) + meta(0x03, "Drums") + played({{36, 480}}, 9);
  const std::string file = midi(1, {wait(0) + meta(0x03, "Song"), flute, drums});
  CHECK(refusal(file).find("choose one with --part: 1 \"Flute\", 2 \"Drums\"") != std::string::npos);
  CHECK(timeline(read_line(file, {"Flute", {}, {}})) == "C5@0+1");
  CHECK(read_line(file, {"1", {}, {}}).title == "Song");
  CHECK(refusal(file, {"2", {}, {}}).find("unpitched percussion") != std::string::npos);
  const std::string channels =
      midi(0, {wait(0) + on(60) + wait(0) + on(72, 1) + wait(480) + off(60) + wait(0) + off(72, 1)});
  CHECK(timeline(read_line(channels, {"2", {}, {}})) == "C5@0+1");
}

TEST_CASE("words are lyrics of the track, or of tracks that follow it, or those of karaoke") {
  const std::string notes = played({{60, 480}, {62, 480}});
  const auto sung = [](int kind, const std::string& one, const std::string& two) {
    return wait(0) + meta(kind, one) + wait(480) + meta(kind, two);
  };
  const Melody melody = read_line(midi(1, {notes, sung(5, "A-", "ve"), sung(5, "O", "ther")}));
  CHECK(words(melody) == "A- ve");
  CHECK(words(read_line(midi(1, {notes, sung(5, "A-", "ve"), sung(5, "O", "ther")}), {{}, {}, 2})) == "O ther");
  const std::string late = wait(480) + on(60) + wait(480) + off(60) + played({{62, 480}, {64, 480}});
  const std::string karaoke = wait(480) + meta(1, "\\Glo") + wait(480) + meta(1, "ria") + wait(480) + meta(1, " be");
  CHECK(words(read_line(midi(1, {late, karaoke}))) == "Glo- ria be");
}

TEST_CASE("of notes that begin together the top one is taken, and what is guessed is said") {
  const Melody melody =
      read_line(midi(0, {wait(0) + on(60) + wait(0) + on(64) + wait(480) + off(60) + wait(0) + off(64)}));
  CHECK(timeline(melody) == "E4@0+1");
  CHECK(remarks(melody) ==
        std::vector<std::string>{"song: MIDI has no note names, and this file no key: sharps and flats are guessed",
                                 "song: bar 1: of notes that begin together, the top one is taken"});
}

TEST_CASE("what is not a song in beats is refused by name") {
  CHECK(refusal(midi(2, {played({{60, 480}})})) ==
        "song: is a MIDI file of format 2, of independent patterns; export it as format 0 or 1");
  CHECK(refusal(midi(0, {played({{60, 480}})}, 0xE728)) ==
        "song: is a MIDI file that counts seconds instead of beats; export it with ticks per quarter note");
  CHECK(refusal(midi(0, {""})) == "song: has no notes; check that it is the right file");
  const std::string whole = midi(0, {played({{60, 480}})});
  for (std::size_t cut = 14; cut + 8 < whole.size(); ++cut) CHECK_FALSE(refusal(whole.substr(0, cut)).empty());
  CHECK(refusal(midi(0, {wait(0) + std::string("\x3C\x40", 2)})) == "song: is a damaged MIDI file; export it again");
  CHECK(refusal(midi(0, {wait(0) + on(60) + std::string("\xFF\xFF\xFF\x7F", 4) + off(60)}, 1)) ==
        "song: has more than 20000 bars; export one song");
}

TEST_CASE("a million notes are refused") {
  std::string notes;
  for (int i = 0; i < 1'000'000; ++i) notes += std::string("\x01\x3C\x40\x01\x3C\x00", 6);
  CHECK(refusal(midi(0, {wait(0) + on(60) + notes})) ==
        "song: has more than 300000 notes; export one part or one song");
}
