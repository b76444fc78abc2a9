#include <random>

#include "reading.hpp"

using namespace firmus;

namespace {

/// Seeded choices without std distributions, which differ between libraries.
class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  int below(int n) { return static_cast<int>(engine_() % static_cast<unsigned>(n)); }
  bool chance(int percent) { return below(100) < percent; }
  template <typename... Text>
  std::string one_of(Text... choices) {
    const std::string list[] = {choices...};
    return list[below(sizeof...(choices))];
  }

 private:
  std::mt19937 engine_;
};

std::string random_note(Dice& dice) {
  std::string note = dice.one_of("C", "D", "e", "F", "G", "A", "b") +
                     dice.one_of("", "", "", "#", "b", "x", "bb", "\u266F") + dice.one_of("3", "4", "5");
  if (dice.chance(10)) note += dice.one_of("+50", "-12.5", "+0.001", "-100");
  if (dice.chance(70))
    note += ":" + dice.one_of("1", "2", "0.5", "1/3", "2/3", "3/2", "0.125", "0", "1/7", "0.123456789");
  if (note.find(':') != std::string::npos && dice.chance(15)) note += dice.one_of(":maybe", ":free");
  return note;
}

std::string random_header(Dice& dice) {
  return dice.one_of("key: D major", "key: Bb minor", "key: E dorian", "meter: 3/4", "meter: 6/8", "meter: 2/2",
                     "tempo: 96", "tempo: 3 = 60", "tempo: 72.5") +
         "\n";
}

/// Note lines with holds, rests, breaths, graces, changes of key and meter, and words; valid by the rules of holds.
std::string random_section(Dice& dice) {
  std::string text;
  const int rows = 1 + dice.below(4);
  for (int row = 0; row < rows; ++row) {
    if (dice.chance(20)) text += "C4\n" + random_header(dice);
    bool can_hold = false;
    int notes = 0;
    const int tokens = 1 + dice.below(14);
    for (int i = 0; i < tokens; ++i) {
      const int kind = dice.below(100);
      if (kind < 12) {
        text += "rest:" + dice.one_of("1", "1/2", "2");
        can_hold = false;
      } else if (kind < 20 && can_hold) {
        text += "hold:" + dice.one_of("1", "1/3", "2");
      } else if (kind < 27) {
        text += ",";
        can_hold = false;
      } else if (kind < 45) {
        text += "|";
      } else {
        const std::string note = random_note(dice);
        text += note;
        can_hold = note.find(":0") == std::string::npos;
        ++notes;
      }
      text += " ";
    }
    text += "\n";
    for (int pass = 1; pass <= 2; ++pass)
      if (notes > 0 && dice.chance(35)) {
        text += pass == 1 ? "words:" : "words 2:";
        const int syllables = dice.chance(80) ? notes : dice.below(notes + 2);
        for (int i = 0; i < syllables; ++i) text += " " + dice.one_of("la", "lan-", ".", "o\u00E9,", "#1", "d:2");
        text += "\n";
      }
  }
  return text;
}

std::string random_melody(unsigned seed) {
  Dice dice(seed);
  std::string text;
  if (dice.chance(70)) text += "title: Study #" + std::to_string(seed) + "\n";
  if (dice.chance(60)) text += "key: G major\n";
  if (dice.chance(75)) text += "meter: " + dice.one_of("2/4", "3/4", "4/4", "6/8", "5/16") + "\n";
  if (dice.chance(40)) text += "tempo: " + dice.one_of("100", "1/2 = 90", "132.25") + "\n";
  if (dice.chance(30))
    text += "tuning: " + dice.one_of("just", "pythagorean", "meantone", "0 1 2 3 4 5 6 7 8 9 10 -11.25") + "\n";
  if (dice.chance(20)) text += "a4: 442.5\nsounds: -12\nreference: concert\n";
  const bool sections = dice.chance(50);
  if (sections && dice.chance(60)) text += "order: A B A A\n";
  text += (sections ? "section: A\nC4 " : "C4 ") + random_section(dice);
  if (sections) text += "section: B\n" + dice.one_of("hold ", "D4 ") + random_section(dice);
  return text;
}

}  // namespace

TEST_CASE("a melody written as text reads back as the same notes, and is written the same again") {
  int with_sections = 0, with_bars = 0, with_words = 0;
  for (unsigned seed = 1; seed <= 1500; ++seed) {
    const std::string text = random_melody(seed);
    CAPTURE(text);
    Melody melody;
    try {
      melody = read(text);
    } catch (const InputError& error) {
      // "hold" at the begin of section B has nothing to hold where A ends in a rest, a breath or a grace note.
      REQUIRE(std::string(error.what()).find("hold has no note to hold") != std::string::npos);
      continue;
    }
    const std::string written = melody_as_text(melody);
    CAPTURE(written);
    const Melody again = read(written);
    REQUIRE(facts(again) == facts(melody));
    REQUIRE(melody_as_text(again) == written);
    CHECK(again.title == melody.title);
    CHECK(again.key == melody.key);
    CHECK(again.meter == melody.meter);
    CHECK(again.tempo_text == melody.tempo_text);
    CHECK(again.a4_hz == melody.a4_hz);
    CHECK(again.reference == melody.reference);
    with_sections += melody.notes.back().section.empty() ? 0 : 1;
    with_bars += melody.notes.back().bar ? 1 : 0;
    with_words += words(melody).find("la") != std::string::npos ? 1 : 0;
  }
  CHECK(with_sections > 300);
  CHECK(with_bars > 500);
  CHECK(with_words > 300);
}

/// A rest between two meters, before a bar that does not begin at beat 1: the table does not say whose beats it has.
bool rests_between_meters(const Melody& melody) {
  for (std::size_t i = 1; i < melody.notes.size(); ++i) {
    const WrittenNote &before = melody.notes[i - 1], &note = melody.notes[i];
    if (before.meter != note.meter && before.onset_quarters + before.length_quarters < note.onset_quarters) return true;
  }
  return false;
}

TEST_CASE("a melody written as CSV reads back with the same notes, times, words and phrases") {
  int compared = 0;
  for (unsigned seed = 1; seed <= 300; ++seed) {
    const std::string text = random_melody(seed);
    CAPTURE(text);
    if (!errors_of(text).empty() || text.find("0.123456789") != std::string::npos)
      continue;  // a quarter of it is too long
    const Melody melody = read(text);
    if (rests_between_meters(melody)) continue;
    ++compared;
    const Melody again = read(melody_as_csv(melody));
    REQUIRE(timeline(again) == timeline(melody));
    REQUIRE(words(again) == words(melody));
    CHECK(places(again) == places(melody));
    for (std::size_t i = 0; i < melody.notes.size(); ++i) {
      CHECK(again.notes[i].phrase == melody.notes[i].phrase);
      CHECK(again.notes[i].beats == melody.notes[i].beats);
      CHECK(again.notes[i].mark == melody.notes[i].mark);
      CHECK(again.notes[i].sounds_semitones == melody.notes[i].sounds_semitones);
    }
  }
  CHECK(compared > 100);
}

TEST_CASE("a melody made of notes alone is written with its bars, ties, rests, phrases and words") {
  Melody melody = read(
      "title: Study\nkey: G major\nmeter: 3/4\ntempo: 3 = 60\n"
      "D4 | G4:2 A4:1:maybe , | B4:3 | hold:1 rest:3/2 C5:0 B4:1/2 | rest:3 | A4 G4:2:free | \nkey: D major\nC#5:3 |\n"
      "words: a b c d e f g h");
  const auto expected = facts(melody);
  melody.text.clear();
  CHECK(melody_as_text(melody) ==
        "title: Study\nkey: G major\nmeter: 3/4\ntempo: 3 = 60\n\n"
        "D4 | G4:2 A4:1:maybe , | B4:3 | hold rest:3/2 C5:0 B4:1/2 |\n"
        "words: a b c d e\n"
        "rest:3 | A4 G4:2:free |\n"
        "words: f g\n"
        "key: D major\n"
        "C#5:3 |\n"
        "words: h\n");
  CHECK(facts(read(melody_as_text(melody))) == expected);
}

TEST_CASE("notes changed since the text was read are written as they are now") {
  Melody melody = read("meter: 2/4\nC4 D4 | E4:2");
  melody.notes[1].pitch = {'D', 1, 4, 0};
  CHECK(melody_as_text(melody) == "meter: 2/4\n\nC4 D#4 | E4:2 |\n");
  melody.title = "two\nlines # and more";
  melody.a4_hz = Hertz(415);
  CHECK(melody_as_text(melody).rfind("title: two lines\nmeter: 2/4\na4: 415\n", 0) == 0);
}

TEST_CASE("notes alone, with a meter and no bars known, or sections, are written all the same") {
  Melody melody;
  melody.notes.resize(2);
  melody.notes[0].pitch = {'G', 0, 4, 0};
  melody.notes[0].beats = melody.notes[0].length_quarters = Fraction(1);
  melody.notes[0].onset_quarters = Fraction(1, 2);
  melody.notes[0].section = "A";
  melody.notes[1] = melody.notes[0];
  melody.notes[1].index = 1;
  melody.notes[1].onset_quarters = Fraction(2);
  melody.notes[1].section = "B";
  melody.notes[1].quarters_per_minute = 90.5;
  CHECK(melody_as_text(melody) == "\nsection: A\nrest:1/2 G4\n\nsection: B\nrest:1/2\ntempo: 90.5\nG4\n");
  CHECK(read(melody_as_text(melody)).notes[1].quarters_per_minute == 90.5);
}
