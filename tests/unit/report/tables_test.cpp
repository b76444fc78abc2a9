#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <set>

#include "../../../src/report/row_fields.hpp"
#include "example.hpp"
#include "firmus/report.hpp"

using namespace firmus;
using namespace firmus::report;
using Ordered = nlohmann::ordered_json;

namespace {

std::string keys_of(const Ordered& object) {
  std::string keys;
  for (const auto& [key, value] : object.items()) keys += (keys.empty() ? "" : " ") + key;
  return keys;
}

}  // namespace

TEST_CASE("the columns of the notes are those that are promised, in that order") {
  CHECK(
      notes_csv_header() ==
      "take,index,section,pass,bar,beat,phrase,word,written,written_beats,status,verdict,unclear_reason,sung,onset_s,"
      "end_s,sung_hz,error_concert_cents,error_own_cents,error_interval_cents,interval,direction,se_cents,spread_cents,"
      "slope_cents_per_s,scoop_cents,vibrato_rate_hz,vibrato_extent_cents,level_dbfs,match_confidence\r\n");
}

TEST_CASE("a note is one row, with an empty cell where nothing was measured") {
  Result result = example::measured();
  result.notes = {result.notes[4], result.notes[5]};
  CHECK(notes_csv_rows(result) ==
        "ana.flac,3,,1,2,1,1,tern,B4,1,sung,flat,,D3,4.100,5.000,146.8300,-47.7,-38.3,-41.0,M6,up,1.2,8.0,-21.0,-80.0,"
        "5.6000,42.0,-21.3,0.9800\r\n"
        "ana.flac,4,,1,2,2,1,walk,B4,1,missing,,,,,,,,,,,,,,,,,,,\r\n");
}

TEST_CASE("a take that was not measured has one row as wide as the others") {
  CHECK(notes_csv_rows(example::not_measured()) == "gone.wav,,,,,,,,,,not_measured,,,,,,,,,,,,,,,,,,,\r\n");
  Result nameless = example::not_measured();
  nameless.take.name = "";
  CHECK(notes_csv_rows(nameless) == ",,,,,,,,,,not_measured,,,,,,,,,,,,,,,,,,,\r\n");
}

TEST_CASE("text is quoted as RFC 4180 says, and what a spreadsheet would run is defused") {
  CHECK(csv_cell(Cell(std::string("a,b"))) == "\"a,b\"");
  CHECK(csv_cell(Cell(std::string("say \"la\""))) == "\"say \"\"la\"\"\"");
  CHECK(csv_cell(Cell(std::string("two\r\nlines"))) == "\"two\r\nlines\"");
  CHECK(csv_cell(Cell(std::string("=1+1"))) == "'=1+1");
  CHECK(csv_cell(Cell(std::string("-x.wav"))) == "'-x.wav");
  CHECK(csv_cell(Cell(std::string("@a,b"))) == "\"'@a,b\"");
  CHECK(csv_cell(Cell(Number{-3.25, 1})) == "-3.2");
  CHECK(csv_cell(Cell(std::string("caf\xe9.wav"))) == "caf\\xE9.wav");
}

TEST_CASE("numbers are rounded, never minus zero, and never anything but numbers") {
  CHECK(to_text(Number{-0.04, 1}) == "0.0");
  CHECK(to_text(Number{-0.06, 1}) == "-0.1");
  CHECK(to_text(Number{1.5, 4, true}) == "1.5");
  CHECK(to_text(Number{1.0 / 3, 4, true}) == "0.3333");
  CHECK(to_text(Number{100, 4, true}) == "100");
  CHECK(to_text(Number{std::nan(""), 1}) == "");
  CHECK(to_json(Number{std::numeric_limits<double>::infinity(), 1}).is_null());
  CHECK(to_json(Number{-0.0001, 3}).dump() == "0.0");
  CHECK(to_json(Number{291.203149, 4}).dump() == "291.2031");
}

TEST_CASE("the habits are a table of their own") {
  CHECK(habits_csv(example::measured()) ==
        "take,decision,group,name,direction,count,same_way,mean_cents,lowest_cents,highest_cents,ci95_low_cents,"
        "ci95_high_cents,p,p_adjusted,indices,same_as,could_be,more_needed,shown_from_cents,out_of_tune,contrast_cents,"
        "contrast_low_cents,contrast_high_cents\r\n"
        "ana.flac,chronic,interval,M6,up,3,3,-27.0,-41.0,-13.0,-33.5,-20.5,0.000400,0.012000,3 5 6,degree 6,register "
        "high,,14.0,2,-29.5,-36.0,-23.0\r\n");
}

TEST_CASE("the keys of a result stand in a fixed order") {
  const Ordered json = Ordered::parse(as_json(example::measured()));
  CHECK(keys_of(json) ==
        "schema program settings context take recording melody alignment pitch_centre "
        "transposition_semitones stretches tempo_bpm notes chronic summary");
  CHECK(keys_of(json["notes"][1]) ==
        "index section pass bar beat phrase word written written_beats may_be_left_out status verdict unclear_reason "
        "onset_s end_s "
        "sung_hz "
        "sung error_cents interval se_cents spread_cents slope_cents_per_s scoop_cents vibrato level_dbfs "
        "match_confidence");
  CHECK(keys_of(json["notes"][1]["error_cents"]) == "concert own interval");
  CHECK(keys_of(json["notes"][1]["interval"]) == "name direction written_cents");
  CHECK(keys_of(json["notes"][1]["vibrato"]) == "rate_hz extent_cents");
  CHECK(keys_of(json["summary"]) ==
        "written judged in_tune sharp flat other_note missing extra unclear in_tune_share "
        "judged_share accuracy_cents precision_cents mean_abs_cents");
  CHECK(
      keys_of(json["chronic"][0])
          .starts_with(
              "decision group name direction count same_way mean_cents ci95_cents contrast_cents contrast_ci95_cents p "
              "p_adjusted indices same_as"));
}

TEST_CASE("the JSON of a take that was not measured says why, and no more") {
  const Ordered json = Ordered::parse(as_json(example::not_measured()));
  CHECK(keys_of(json) == "schema program context take error");
  CHECK(json["error"].dump() == R"({"kind":"missing","detail":"there is no such file","advice":"check the name"})");
  CHECK(json["take"]["duration_s"].is_null());
}

TEST_CASE("a result is one line of UTF-8 whatever the names hold") {
  Result result = example::measured();
  result.take.name = "caf\xe9\n.wav";
  result.melody->text = "D4\tE4\r\n# caf\xc3\xa9 \xff\n";
  result.notes[4].word = "\xc0\xaf";
  const std::string text = as_json(result);
  CHECK(text.find('\n') == std::string::npos);
  const Ordered json = Ordered::parse(text);
  CHECK(json["take"]["name"] == "caf\\xE9\n.wav");
  CHECK(json["melody"]["text"] == "D4\tE4\r\n# caf\xc3\xa9 \\xFF\n");
  CHECK(json["notes"][4]["word"] == "\\xC0\\xAF");
}

TEST_CASE("without a melody the keys of the alignment stay and are null") {
  Result result = example::measured();
  result.melody.reset();
  const Ordered json = Ordered::parse(as_json(result));
  CHECK(json["melody"].is_null());
  CHECK(json["alignment"].dump() == R"({"confidence":null,"matched_share":null,"decision":null,"tries":[]})");
}

TEST_CASE("every key of a note and of a habit is in the schema, and the schema has no other") {
  const Ordered schema = Ordered::parse(json_schema());
  const Ordered json = Ordered::parse(as_json(example::measured()));
  const auto as_set = [](const Ordered& object) {
    std::set<std::string> keys;
    for (const auto& [key, value] : object.items()) keys.insert(key);
    return keys;
  };
  CHECK(as_set(json["notes"][0]) == as_set(schema["properties"]["notes"]["items"]["properties"]));
  CHECK(as_set(json["chronic"][0]) == as_set(schema["properties"]["chronic"]["items"]["properties"]));
  for (const auto& [key, value] : json.items()) CHECK(schema["properties"].contains(key));
}

TEST_CASE("the reference names every column and every key once") {
  const std::string reference = field_reference();
  const auto times = [&](const std::string& part) {
    int count = 0;
    for (std::size_t at = reference.find(part); at != std::string::npos; at = reference.find(part, at + 1)) ++count;
    return count;
  };
  for (const auto& field : note_fields()) {
    CAPTURE(field.meaning);
    CHECK(times("| " + std::string(field.meaning) + " |") >= 1);
    CHECK_FALSE(field.meaning.empty());
  }
  CHECK(times("| sung | sung |") == 1);
  CHECK(times("| lowest_cents | lowest_cents | cents |") == 1);
  CHECK(times("| error_own_cents | error_cents.own | cents |") == 1);
}
