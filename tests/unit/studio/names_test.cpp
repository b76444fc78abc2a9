// Whose recording it is, by names as people give them to files.
#include <doctest/doctest.h>

#include <string>
#include <utility>
#include <vector>

#include "firmus/grading.hpp"
#include "firmus/report.hpp"

using namespace firmus;

namespace {

using Names = std::vector<std::string>;

Piece piece_called(std::string id) {
  Piece made;
  made.id = std::move(id);
  return made;
}

/// The student, "student/piece" where there are several pieces, or "?" and why.
std::string owner_of(const std::string& path, const Matching& matching) {
  const Matched found = match_takes({path}, matching);
  if (found.takes.empty()) return "? " + unmatched_words(found.unmatched.at(0));
  const MatchedTake& take = found.takes[0];
  return matching.pieces.size() == 1 ? take.student : take.student + "/" + matching.pieces[take.piece].id;
}

// "José" in one code point (NFC) and in two (NFD).
constexpr const char* jose_composed = "Jos\xC3\xA9 Marisma";
constexpr const char* jose_apart = "Jose\xCC\x81";

const Names of_class{"Ana Roble",         "Ben Alder", "Cleo",       "Dana-Lee Fox", "Emma Holm", jose_composed,
                     "Lars \xC3\x98stby", "Mia Birch", "Noah Birch", "s1",           "s10",       "Zo\xC3\xAB"};

}  // namespace

TEST_CASE("a student is found anywhere in the name, whatever case, accents and separators") {
  const Matching matching{of_class, {piece_called("kite")}, false};
  const std::vector<std::pair<std::string, std::string>> hand_ins{
      {"2031-05-17 Ana Roble kite.m4a", "Ana Roble"},
      {"KITE_BEN_ALDER_FINAL(2).MP3", "Ben Alder"},
      {"Recording (3) - Emma.m4a", "Emma Holm"},
      {"cleo.wav", "Cleo"},
      {"DanaLeeFox-kite.flac", "Dana-Lee Fox"},
      {std::string(jose_apart) + " take2.wav", jose_composed},
      {"kite lars ostby.ogg", "Lars \xC3\x98stby"},  // by the first name: \xC3\x98 is no O with an accent
      {"Kite - Lars.ogg", "Lars \xC3\x98stby"},
      {"Mia.Birch.kite.v2.wav", "Mia Birch"},
      {"Noah/New Recording 12.m4a", "Noah Birch"},
      {"s1-kite.wav", "s1"},
      {"s10 kite.wav", "s10"},
      {"zoe kite.opus", "Zo\xC3\xAB"},
      {"hand-in 4711/emma-holm_late.wav", "Emma Holm"},
      {"emma2.wav", "Emma Holm"},
  };
  for (const auto& [path, student] : hand_ins) {
    CAPTURE(path);
    CHECK(owner_of(path, matching) == student);
  }
}

TEST_CASE("nobody is guessed") {
  const Matching matching{of_class, {piece_called("kite")}, false};
  CHECK(owner_of("Birch kite.wav", matching) == "? its name contains no student of the roster");
  CHECK(owner_of("Ana and Ben.wav", matching) == "? its name fits several students: Ana Roble, Ben Alder");
  for (const char* none : {"Banana.wav", "s11.wav", "s100.wav", "New Recording 7.m4a", "anabel.wav", "10.wav"}) {
    CAPTURE(none);
    CHECK(owner_of(none, matching) == "? its name contains no student of the roster");
  }
}

TEST_CASE("the longer name wins where one lies within the other") {
  const Matching matching{Names{"Ana", "Ana Maria", "May"}, {piece_called("may-song"), piece_called("kite")}, true};
  CHECK(owner_of("kite ana maria.wav", matching) == "Ana Maria/kite");
  CHECK(owner_of("kite ana.wav", matching) == "Ana/kite");
  CHECK(owner_of("Ana - May Song.wav", matching) == "Ana/may-song");
  CHECK(owner_of("ana.wav", matching) == "? its name contains no piece");
  CHECK(owner_of("ana kite may song.wav", matching) == "? it could be of several pieces: may-song, kite");
}

TEST_CASE("a piece is named by its id or its title") {
  Matching matching{Names{"ana"}, {piece_called("p1"), piece_called("p2")}, true};
  matching.titles = {"Kite Over the Ridge", "Cold Mill"};
  CHECK(owner_of("Ana_kite-over-the-ridge.wav", matching) == "ana/p1");
  CHECK(owner_of("cold mill/ana.wav", matching) == "ana/p2");
  CHECK(owner_of("P2 ana.wav", matching) == "ana/p2");
}

TEST_CASE("without a roster the student is what is left without the piece, or the folder") {
  const Matching one{std::nullopt, {piece_called("kite")}, false};
  CHECK(owner_of("s01-kite.flac", one) == "s01");
  CHECK(owner_of("s01-kite-2.flac", one) == "s01");
  CHECK(owner_of("Kite - Ana Roble.flac", one) == "Ana Roble");
  CHECK(owner_of("ana.wav", one) == "ana");
  CHECK(owner_of("Ana Roble/kite 1.wav", one) == "Ana Roble");
  CHECK(owner_of("kite/ana.wav", one) == "ana");
  CHECK(owner_of("kite 2.wav", one) == "? its name contains no student of the roster");
  const Matching two{std::nullopt, {piece_called("kite"), piece_called("mill")}, true};
  CHECK(owner_of("ana mill.wav", two) == "ana/mill");
  CHECK(owner_of("mill/ana.wav", two) == "ana/mill");
  CHECK(owner_of("ana.wav", two) == "? its name contains no piece");
}

TEST_CASE("what the teacher wrote goes before every name") {
  Matching matching{of_class, {piece_called("kite"), piece_called("mill")}, true};
  matching.whose = {{"Ana and Ben.wav", "Ben Alder", "mill"}};
  CHECK(owner_of("Ana and Ben.wav", matching) == "Ben Alder/mill");
}
