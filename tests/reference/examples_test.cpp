// The bundled takes of examples/studio, from file to result, against their ground truth and against the planted faults
// (planted.csv).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

#include "against_truth.hpp"
#include "firmus/report.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

std::string text_of(const std::string& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  REQUIRE_MESSAGE(!text.str().empty(), path);
  return text.str();
}

struct Planted {
  std::string take, melody, what, which;
  double value = 0;
};

std::vector<Planted> planted_rows() {
  std::vector<Planted> rows;
  std::istringstream lines(text_of(studio_path("planted.csv")));
  std::string line, cell;
  std::getline(lines, line);
  REQUIRE(line == "take,melody,what,which,value");
  while (std::getline(lines, line)) {
    Planted row;
    std::istringstream cells(line);
    std::getline(cells, row.take, ',');
    std::getline(cells, row.melody, ',');
    std::getline(cells, row.what, ',');
    std::getline(cells, row.which, ',');
    std::getline(cells, cell, ',');
    std::from_chars(cell.data(), cell.data() + cell.size(), row.value);
    rows.push_back(row);
  }
  return rows;
}

struct Measured {
  Result result;
  std::vector<singer::SungNote> truth;
};

// Each take is measured once, whatever the number of checks on it.
const Measured& measured(const std::string& take, const std::string& melody) {
  static std::map<std::string, Measured> done;
  const auto found = done.find(take);
  if (found != done.end()) return found->second;
  const Melody written = studio_melody(melody);
  Measured made;
  made.result = measure_take(read_recording(studio_path("takes/" + take + ".flac")), &written, {});
  made.truth = singer::read_truth_csv(text_of(studio_path("truth/" + take + ".csv")));
  return done.emplace(take, std::move(made)).first->second;
}

std::vector<int> indices_in(const std::string& range) {
  int from = 0, to = 0;
  const auto dash = range.find('-');
  std::from_chars(range.data(), range.data() + dash, from);
  std::from_chars(range.data() + dash + 1, range.data() + range.size(), to);
  std::vector<int> indices;
  for (int i = from; i <= to; ++i) indices.push_back(i);
  return indices;
}

/// Time between the onsets of the first and the last note, over which a planted drift develops.
double span_s(const Measured& take) {
  return take.truth.back().onset_s - take.truth.front().onset_s;
}

/// Habits reported as chronic.
int habits_said(const Result& result) {
  int said = 0;
  for (const HabitRow& habit : result.habits) said += habit.decision == HabitDecision::chronic;
  return said;
}

void check_interval(const Planted& planted, const Result& result) {
  const auto space = planted.which.find(' ');
  const std::string name = planted.which.substr(0, space), direction = planted.which.substr(space + 1);
  int hit = 0;
  double sum = 0;
  for (const NoteResult& note : result.notes) {
    if (note.interval_name != name || !note.interval_direction || to_string(*note.interval_direction) != direction)
      continue;
    REQUIRE(note.errors.interval_cents.has_value());
    sum += *note.errors.interval_cents;
    ++hit;
    CHECK(std::abs(*note.errors.interval_cents - planted.value) <
          20);  // includes the singer's random errors on two notes
    CHECK(note.errors.own_cents.value() < -8);
  }
  REQUIRE(hit == 7);
  CHECK(std::abs(sum / hit - planted.value) < 6);
  REQUIRE(!result.habits.empty());
  const HabitRow& habit = result.habits.front();
  CHECK(habit.decision == HabitDecision::chronic);
  CHECK(habit.group == "interval");
  CHECK(habit.name == name);
  CHECK(to_string(habit.direction.value()) == direction);
  CHECK(habit.count == hit);
  CHECK(habit.same_way == hit);
  CHECK(std::abs(habit.mean_cents - planted.value) < 6);
  CHECK(habit.ci95_cents->first < planted.value);
  CHECK(habit.ci95_cents->second > planted.value);
  CHECK(habits_said(result) == 1);
}

void check_drift(const Planted& planted, const Measured& take) {
  REQUIRE(take.result.key_segments.size() == 1);
  CHECK(take.result.key_segments[0].drift_significant);
  CHECK(take.result.key_segments[0].drift_cents_per_minute.value() ==
        doctest::Approx(planted.value / span_s(take) * 60).epsilon(0.12));
}

void check_key_change(const Planted& planted, const Result& result) {
  int from = 0;
  std::from_chars(planted.which.data(), planted.which.data() + planted.which.size(), from);
  REQUIRE(result.key_segments.size() == 2);
  CHECK(std::abs(result.key_segments[1].from_index - from) <= 1);
  CHECK(result.key_segments[1].transposition_semitones - result.key_segments[0].transposition_semitones ==
        planted.value);
}

void check_sung_twice(const Planted& planted, const Result& result) {
  const std::vector<int> twice = indices_in(planted.which);
  REQUIRE(result.attempts.size() == 2);
  CHECK_FALSE(result.attempts[0].counts);
  CHECK(result.attempts[0].written_from == twice.front());
  CHECK(result.attempts[0].written_to == twice.back());
  CHECK(result.attempts[1].counts);
  std::size_t restarts = 0;
  for (const NoteResult& note : result.notes) restarts += note.status == NoteStatus::restart;
  CHECK(restarts == twice.size());
}

void check_nothing(const Result& result) {
  CHECK(result.summary.in_tune == result.summary.written);
  CHECK(result.transposition_semitones == 0);
  CHECK(result.key_segments.size() == 1);
  CHECK_FALSE(result.key_segments.at(0).drift_significant);
  CHECK(result.attempts.size() == 1);
  CHECK(result.signal_quality.warnings.empty());
}

void check_planted(const Planted& planted, const Measured& take) {
  const Result& result = take.result;
  if (planted.what == "interval_cents") return check_interval(planted, result);
  if (planted.what == "drift_cents") return check_drift(planted, take);
  if (planted.what == "key_change_semitones") return check_key_change(planted, result);
  if (planted.what == "sung_twice") return check_sung_twice(planted, result);
  if (planted.what == "nothing") return check_nothing(result);
  if (planted.what == "left_out") {
    CHECK(indices_with(result, NoteStatus::missing) == indices_in(planted.which));
  } else if (planted.what == "transposition_semitones") {
    CHECK(result.transposition_semitones == static_cast<int>(planted.value));
  } else if (planted.what == "tempo_factor") {
    const double written = studio_melody(planted.melody).notes.front().quarters_per_minute.value();
    CHECK(result.tempo_bpm.value() == doctest::Approx(planted.value * written).epsilon(0.06));
  } else if (planted.what == "talk_s") {
    for (const NoteResult& note : result.notes) {
      if (note.onset_s && note.status == NoteStatus::sung) CHECK(*note.onset_s > planted.value);
    }
  } else {
    FAIL("no check for what is planted: " << planted.what);
  }
}

}  // namespace

TEST_CASE("every note of every example take is found at its time and pitch") {
  int takes = 0;
  for (const Planted& planted : planted_rows()) {
    CAPTURE(planted.take);
    const Measured& take = measured(planted.take, planted.melody);
    const Agreement agreement = compare(take.result, take.truth);
    INFO("not as the truth:" << agreement.not_found);
    CHECK(agreement.found == agreement.sung);
    CHECK(agreement.wrongly_sung == 0);
    CHECK(agreement.onset_within_50_ms >= agreement.sung - 1);
    CHECK(quantile_of_size(agreement.cents_off, 0.5) < 2);
    CHECK(quantile_of_size(agreement.cents_off, 1.0) < 6);
    CHECK(static_cast<int>(agreement.cents_off.size()) == agreement.found);
    CHECK(take.result.decision == AlignmentDecision::sure);
    ++takes;
  }
  CHECK(takes >= 10);
}

TEST_CASE("every error planted in the example takes is described as what it is") {
  for (const Planted& planted : planted_rows()) {
    CAPTURE(planted.take);
    CAPTURE(planted.what);
    check_planted(planted, measured(planted.take, planted.melody));
  }
}

TEST_CASE("the text summary says in words what was planted") {
  struct Said {
    std::string take, melody, words;
  };
  for (const Said& said :
       {Said{"s01-kite", "kite", "Rising major sixths are "}, Said{"s02-harbour", "harbour", "dropped"},
        Said{"s03-mill", "mill", "a fourth higher"}, Said{"s04-harbour", "harbour", "an octave down"},
        Said{"s05-mill", "mill", "13 not heard"}, Said{"s06-harbour", "harbour", "Tries       2"},
        Said{"s07-harbour", "harbour", "26 of 26 notes in tune"}, Said{"s08-mill", "mill", "You went up a tone at "},
        Said{"s10-kite", "kite", "an octave down"}}) {
    const std::string text = as_text(measured(said.take, said.melody).result, Colour::never, "");
    CHECK_MESSAGE(text.find(said.words) != std::string::npos, said.take << " does not say: " << said.words);
  }
}

TEST_CASE("a take whose key is not its fault is not called out of tune, nor given a habit") {
  // Takes that drift, are transposed, an octave low, slow or restarted have no other fault: their notes are in tune.
  for (const Planted& planted : planted_rows()) {
    if (planted.what == "interval_cents") continue;
    CAPTURE(planted.take);
    const Result& result = measured(planted.take, planted.melody).result;
    CHECK(result.summary.in_tune >= result.summary.judged - 1);
    CHECK(habits_said(result) == 0);
  }
}
