#include <doctest/doctest.h>
#include <fmt/format.h>

#include "firmus/grading.hpp"
#include "firmus/report.hpp"
#include "refusals.hpp"

using namespace firmus;
using firmus::testing::refusal;

namespace {

using Names = std::vector<std::string>;

Piece piece(std::string id, std::optional<std::string> match = std::nullopt) {
  Piece made;
  made.id = std::move(id);
  made.match = std::move(match);
  return made;
}

/// "student/piece/number=stem<file", one a take, then "?file" for each file without a student.
std::string matched(const Names& names, const Matching& matching) {
  const Matched found = match_takes(names, matching);
  std::string text;
  for (const MatchedTake& take : found.takes)
    text += fmt::format("{}/{}/{}={}<{} ", take.student, matching.pieces[take.piece].id, take.number, take.stem,
                        names[take.file]);
  for (const Unmatched& file : found.unmatched) text += "?" + file.name + " ";
  if (!text.empty()) text.pop_back();
  return text;
}

Matching matching_of(std::optional<Names> roster, std::optional<std::string> match = std::nullopt) {
  return {std::move(roster), {piece("kite", std::move(match))}, false};
}

}  // namespace

TEST_CASE("without a roster each stem is a student") {
  CHECK(matched({"ana.wav", "ben-2.flac"}, matching_of({})) == "ana/kite/1=ana<ana.wav ben-2/kite/1=ben-2<ben-2.flac");
  CHECK(match_takes({"b.wav", "a.wav"}, matching_of({})).students == Names{"a", "b"});
  CHECK(matched({"class.wav", "a:b.wav"}, matching_of({})) == "?class.wav ?a:b.wav");
  CHECK(matched({"ana.mp3", "ana.wav"}, matching_of({})) == "ana/kite/1=ana<ana.mp3 ana/kite/2=ana.2<ana.wav");
  CHECK(refusal([] {
          return match_takes({"Ana.wav", "ana.wav"}, matching_of({}));
        }).find("differ in capitals only") != std::string::npos);
}

TEST_CASE("with a roster the longest id of whole words counts, wherever it stands") {
  const Matching matching = matching_of(Names{"ana", "ana-b", "s-1"});
  CHECK(matched({"ana.wav", "ana-b_take.wav"}, matching) == "ana/kite/1=ana<ana.wav ana-b/kite/1=ana-b<ana-b_take.wav");
  CHECK(matched({"anabel.wav", "s-12.wav", "x ana.wav"}, matching) == "ana/kite/1=ana<x ana.wav ?anabel.wav ?s-12.wav");
  CHECK(matched({"ANA week 3.m4a"}, matching) == "ana/kite/1=ana<ANA week 3.m4a");
  CHECK(match_takes({}, matching).students == Names{"ana", "ana-b", "s-1"});
}

TEST_CASE("takes of one student come by {try}, then by name with figures by their value") {
  const Names roster{"ana"};
  CHECK(matched({"ana-10.wav", "ana-2.wav", "ana.wav"}, matching_of(roster)) ==
        "ana/kite/1=ana<ana.wav ana/kite/2=ana.2<ana-2.wav ana/kite/3=ana.3<ana-10.wav");
  CHECK(matched({"take 02 of ana x.wav", "take 1 of ana y.wav"}, matching_of(roster, "take {try} of {student} *")) ==
        "ana/kite/1=ana<take 1 of ana y.wav ana/kite/2=ana.2<take 02 of ana x.wav");
  CHECK(matched({"ana7.wav"}, matching_of(roster, "{student}*{try}")) == "?ana7.wav");
  CHECK(matched({"ana-take12.wav"}, matching_of(roster, "{student}-take{try}")) == "ana/kite/1=ana<ana-take12.wav");
}

TEST_CASE("several pieces are told by their ids, the longer before the shorter") {
  const Matching matching{Names{"ana", "ben"}, {piece("kite"), piece("kite-two"), piece("mill", "m_{student}*")}, true};
  CHECK(matched({"ana-kite.wav", "ana kite-two (1).wav", "m_ben.wav", "ben-barn.wav"}, matching) ==
        "ana/kite/1=ana.kite<ana-kite.wav ana/kite-two/1=ana.kite-two<ana kite-two (1).wav "
        "ben/mill/1=ben.mill<m_ben.wav ?ben-barn.wav");
  const Matching vague{Names{"ana"}, {piece("a", "{student}*"), piece("b", "{student}*")}, true};
  const Matched found = match_takes({"ana.wav"}, vague);
  REQUIRE(found.unmatched.size() == 1);
  CHECK(unmatched_words(found.unmatched[0]) == "it could be of several pieces: a, b");
}

TEST_CASE("a pattern that cannot be used is refused, and none takes long") {
  const auto complaint = [](const std::string& pattern) {
    return refusal([&] {
      require_pattern(pattern, {"--match", 0, 0});
      return 0;
    });
  };
  CHECK(complaint("{student}") == "");
  CHECK(complaint("*{student}*{piece}*{try}") == "");
  CHECK(complaint("*").find("--match: the pattern \"*\" has no {student}; ") == 0);
  CHECK(complaint("{student}{student}").find("more than one {student}") != std::string::npos);
  CHECK(complaint("{student").find("a brace is left open") != std::string::npos);
  CHECK(complaint("{student}{id}").find("the pattern has no \"{id}\"") != std::string::npos);
  std::string stars = "{student}";
  for (int i = 0; i < 60; ++i) stars += "*a";
  const Matching slow = matching_of(Names{"a"}, stars + "b");
  CHECK(matched({std::string(250, 'a') + ".wav"}, slow).front() == '?');
}

TEST_CASE("stems that would run together are refused") {
  const Matching matching{Names{"ana", "ana.kite"}, {piece("kite"), piece("2")}, true};
  CHECK(refusal([&] { return match_takes({"ana kite 1.wav", "ana kite 2.wav", "ana.kite 2.wav"}, matching); }) == "");
  const Matching clash{
      Names{"ana", "ana.kite"}, {piece("kite", "{student}_k*"), piece("kite.kite", "{student}_z*")}, true};
  CHECK(refusal([&] {
          return match_takes({"ana_z.wav", "ana.kite_k.wav"}, clash);
        }).find("would both be written as") != std::string::npos);
}

TEST_CASE("parts are dealt evenly, the same way everywhere") {
  std::vector<int> dealt(8, 0);
  for (int i = 0; i < 8000; ++i) {
    const int part = shard_of(fmt::format("s{}", i), "kite", 8);
    REQUIRE((part >= 1 && part <= 8));
    ++dealt[static_cast<std::size_t>(part - 1)];
  }
  for (const int count : dealt)
    CHECK((count > 880 && count < 1120));  // 1000, four standard deviations of 30 either way
  CHECK(shard_of("ana", "kite", 1) == 1);
  // printf 'ana\nkite' | sha256sum, first 15 figures, modulo 7, plus 1
  CHECK(shard_of("ana", "kite", 7) == 1 + static_cast<int>(0xd1768b99756ac3eULL % 7));
}
