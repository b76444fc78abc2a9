// A saved result is read back unchanged; a damaged one is rejected with the name and location of the error.
#include "firmus/read_result.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <limits>
#include <nlohmann/json.hpp>

#include "example.hpp"
#include "firmus/report.hpp"
#include "firmus/take.hpp"

using namespace firmus;
namespace fs = std::filesystem;

namespace {

const std::string studio = FIRMUS_SOURCE_DIR "/examples/studio/";
const std::string shared = FIRMUS_SOURCE_DIR "/../shared/data/";

/// Byte for byte the same; and the summary for people does not change when read once more.
void check_reads_back(const Result& result) {
  const std::string json = as_json(result);
  const Result read = read_result(json, "saved.json");
  CHECK(as_json(read) == json);
  CHECK(notes_csv_rows(read) == notes_csv_rows(result));
  CHECK(habits_csv(read) == habits_csv(result));
  const Result again = read_result(as_json(read), "saved.json");
  CHECK(as_text(again, Colour::ansi, "next") == as_text(read, Colour::ansi, "next"));
}

Result measured_file(const std::string& path, const Melody* melody) {
  MeasureOptions options;
  options.context = {"s01", "Week 3", "kite", "2026-09-14"};
  return measure_take(read_recording(path), melody, options);
}

std::string problem_of(const std::string& json) {
  try {
    read_result(json, "week3.json");
  } catch (const InputError& error) {
    return to_line(error.problems().at(0));
  }
  return "none";
}

std::string example_with(const std::string& pointer, const nlohmann::ordered_json& value) {
  auto json = nlohmann::ordered_json::parse(as_json(example::measured()));
  json[nlohmann::ordered_json::json_pointer(pointer)] = value;
  return json.dump();
}

std::string example_without(const std::string& object, const std::string& key) {
  auto json = nlohmann::ordered_json::parse(as_json(example::measured()));
  json[nlohmann::ordered_json::json_pointer(object)].erase(key);
  return json.dump();
}

}  // namespace

TEST_CASE("results of the example studio read back byte for byte") {
  for (const std::string take : {"s01-kite", "s02-harbour", "s03-mill"}) {
    CAPTURE(take);
    const Melody melody = read_melody_file(studio + take.substr(take.find('-') + 1) + ".melody");
    check_reads_back(measured_file(studio + "takes/" + take + ".flac", &melody));
  }
  check_reads_back(measured_file(studio + "takes/s10-kite.flac", nullptr));
}

TEST_CASE("results of real takes read back byte for byte") {
  if (!fs::exists(shared + "takes")) {
    MESSAGE("not run: saved results of real takes: ../shared/data is not there");
    return;
  }
  const Melody melody = read_melody_file(shared + "melodies/m02.melody");
  for (const std::string take : {"3576", "4112"}) {
    CAPTURE(take);
    check_reads_back(measured_file(shared + "takes/" + take + ".flac", &melody));
  }
}

TEST_CASE("every member of a result comes back, rounded as it was written") {
  const Result result = read_result(as_json(example::measured()), "saved.json");
  CHECK(result.take.name == "ana.flac");
  CHECK(result.take.sample_rate_hz == 44100);
  CHECK(result.signal_quality.level_dbfs == -18.2);
  CHECK(result.trust.cents == 4.6);
  CHECK(result.melody->text == "D4 F#4 A4 | B4\n");
  CHECK(result.attempts.size() == 2);
  CHECK(result.attempts[1].counts);
  CHECK(result.key_segments[0].centre_se_cents == 3);
  CHECK(result.notes[0].status == NoteStatus::restart);
  CHECK_FALSE(result.notes[0].index.has_value());
  CHECK(result.notes[4].errors.own_cents == -38.3);
  CHECK(result.notes[4].interval_direction == Direction::up);
  CHECK(result.notes[4].vibrato->rate_hz == 5.6);
  CHECK_FALSE(result.notes[3].vibrato.has_value());
  CHECK(result.notes[8].unclear_reason == UnclearReason::too_short);
  CHECK(result.habits[0].confounders == std::vector<std::string>{"register high"});
  CHECK(result.habits[0].ci95_cents == std::pair(-33.5, -20.5));
  CHECK(result.habits[0].contrast_cents == -29.5);
  CHECK(result.habits[0].contrast_ci95_cents == std::pair(-36.0, -23.0));
  CHECK(result.habits[0].out_of_tune == 2);
  CHECK(result.summary.precision_cents == 61.3);
}

TEST_CASE("results made by hand read back, whatever is in them") {
  check_reads_back(example::measured());
  check_reads_back(example::not_measured());
  Result result = example::measured();
  result.settings = {Reference::interval, Cents(12.25), Hertz(441.5), "0 5 -3.5 0 0 0 0 0 0 0 0 0"};
  result.context = {"s\xc3\xb6ren", "", "\"quoted\"\n", "2026-01-31"};
  result.take = {"caf\xe9\n.wav", std::nullopt, std::nullopt, std::nullopt, std::nullopt};
  result.signal_quality.warnings = {{RecordingFault::opposite_phase, "detail", ""}, {RecordingFault::hum, "\x01", "b"}};
  result.key_segments[0].drift_cents_per_minute = -12.4;
  result.key_segments[0].drift_ci95 = {{-16.5, std::numeric_limits<double>::infinity()}};
  result.habits[0].decision.reset();
  result.habits[0].required_more = 7;
  result.notes[1].section = "";
  result.since = example::since();
  check_reads_back(result);
  result.signal_quality.level_dbfs = -std::numeric_limits<double>::infinity();
  result.key_segments[0].centre_se_cents = std::numeric_limits<double>::infinity();
  result.notes.clear();
  result.habits.clear();
  result.attempts.clear();
  check_reads_back(result);
  result.melody.reset();
  check_reads_back(result);
}

TEST_CASE("keys that came later may be missing, and unknown ones are passed over") {
  const Result result = read_result(example_with("/notes/1/hue", {1, {{"deep", nullptr}}}), "saved.json");
  CHECK(as_json(result) == as_json(example::measured()));
  CHECK(read_result(example_without("/recording", "trust"), "saved.json").trust.of == 0);
  CHECK(read_result(example_without("/chronic/0", "lowest_cents"), "saved.json").habits[0].lowest_cents == -27);
}

TEST_CASE("what is no result is refused with its place") {
  CHECK(problem_of("") == "week3.json:1:1: the JSON ends too early; give a result as \"firmus check --out\" writes it");
  CHECK(problem_of("{\n  \"schema\": nope}") ==
        "week3.json:2:14: this is no JSON: \"ope}\"; give a result as \"firmus check --out\" writes it");
  CHECK(problem_of("[1]") == "week3.json:1:1: is a list; an object would be right");
  CHECK(problem_of("{}") == "week3.json:1:1: lacks \"schema\"; give a result as \"firmus check --out\" writes it");
  CHECK(problem_of("\xEF\xBB\xBF{\r\n \"s\": \"\xC3\xA4\xC3\xB6\", \"schema\":\"firmus.take/2\" }") ==
        "week3.json:2:22: \"schema\" is \"firmus.take/2\"; firmus reads \"firmus.take/1\"");
  const std::string json = as_json(example::measured());
  CHECK(problem_of(json.substr(0, json.size() / 2)).find("the JSON ends too early") != std::string::npos);
}

TEST_CASE("a wrong type, name or index is refused with its place") {
  const auto problem = [](const std::string& pointer, const nlohmann::ordered_json& value) {
    const std::string line = problem_of(example_with(pointer, value));
    return line.substr(line.find(": ") + 2);
  };
  CHECK(problem("/take/name", 5) == "\"take.name\" is a number; text would be right");
  CHECK(problem("/notes/1/onset_s", "soon") == "\"notes[1].onset_s\" is text; a number would be right");
  CHECK(problem("/notes/1/error_cents/own", -1e308) ==
        "\"notes[1].error_cents.own\" is beyond 10000000; no figure of a take is that large");
  CHECK(problem("/notes/1/index", 8) == "\"notes[1].index\" is 8; a whole number from 0 to 7 would be right");
  CHECK(problem("/notes/1/index", -1) == "\"notes[1].index\" is -1; a whole number from 0 to 7 would be right");
  CHECK(problem("/notes/1/index", 1.5) == "\"notes[1].index\" is 1.5; a whole number from 0 to 7 would be right");
  CHECK(problem("/notes/1/status", "hummed") ==
        "\"notes[1].status\" is \"hummed\"; one of sung, missing, extra, restart, optional_left_out would be right");
  CHECK(problem("/notes", true) == "\"notes\" is true or false; a list would be right");
  CHECK(problem("/chronic/0/ci95_cents", {1, 2, 3}) ==
        "\"chronic[0].ci95_cents\" has not two numbers; give the lower and the upper end");
  CHECK(problem("/summary/judged", 9e18) == "\"summary.judged\" is 9e+18; a whole number from 0 would be right");
  CHECK(problem("/alignment/tries/1/counts", 1) ==
        "\"alignment.tries[1].counts\" is a number; true or false would be right");
  CHECK(problem_of(example_without("", "summary")) ==
        "week3.json:1:1: lacks \"summary\"; give a result as \"firmus check --out\" writes it");
}

TEST_CASE("of a key given twice the last counts, in the place too") {
  CHECK(problem_of("{\"schema\": \"firmus.take/1\",\n \"schema\": 1}") ==
        "week3.json:2:12: \"schema\" is a number; text would be right");
}

TEST_CASE("too deep and too large is refused before it is read") {
  const std::string deep = "{\"a\":" + std::string(64, '[') + std::string(64, ']') + "}";
  CHECK(problem_of(deep) ==
        "week3.json:1:69: is nested deeper than 64; give a result as \"firmus check --out\" writes it");
  CHECK(problem_of(std::string(1 << 20, '[')).find("nested deeper than 64") != std::string::npos);
  const std::string fits = "{\"a\":" + std::string(63, '[') + std::string(63, ']') + "}";
  CHECK(problem_of(fits).find("lacks \"schema\"") != std::string::npos);
  CHECK(problem_of("{\"a\": \"" + std::string(64, '[') + "\"}").find("lacks") != std::string::npos);
  CHECK(problem_of(std::string((16 << 20) + 1, ' ')) ==
        "week3.json: is larger than 16 MiB; give a result as \"firmus check --out\" writes it");
}
