// A small class graded, and takes checked, by calls in C++ without a command line.
#include <doctest/doctest.h>

#include <csignal>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "base/file_content.hpp"
#include "firmus/batch.hpp"
#include "singer.hpp"
#include "sound_files.hpp"

using namespace firmus;
namespace fs = std::filesystem;

namespace {

constexpr const char* melody_text =
    "title: Two Phrases\nkey: G major\nmeter: 3/4\ntempo: 160\n\n"
    "G4:2 A4 | B4 A4 G4 | D5:2 B4 | A4:3 , |\nB4 C5 D5 | E5:2 C5 | B4 A4 F#4 | G4:3\n";

/// A folder with three takes of one melody: in tune, flat on each reached B4, and a file that is no recording.
class ClassFolder {
 public:
  ClassFolder() {
    fs::create_directories(scratch_.file("takes"));
    support::write_bytes(melody(), melody_text);
    const Melody tune = read_melody_file(melody());
    sing(tune, "ana", {});
    std::map<int, double> flat;
    for (const int index : {3, 6, 9, 14}) flat[index] = -70;
    sing(tune, "ben", flat);
    support::write_bytes(take("cleo"), "this is no sound");
  }
  std::string melody() const { return scratch_.file("two.melody"); }
  std::string take(const std::string& student) const { return scratch_.file("takes/" + student + ".wav"); }
  std::string out(const std::string& name = "") const {
    return scratch_.file("out") + (name.empty() ? "" : "/" + name);
  }

  GradeOptions options() const {
    GradeOptions options;
    options.assignment = scratch_.file("takes");
    options.melody_paths = {melody()};
    options.out_folder = out();
    options.jobs = 2;
    return options;
  }

 private:
  void sing(const Melody& tune, const std::string& student, std::map<int, double> note_cents) const {
    singer::Plan plan;
    plan.seed = 901 + student.size() + static_cast<unsigned char>(student[0]);
    plan.note_cents = std::move(note_cents);
    plan.lead_s = plan.tail_s = 0.4;
    support::write_wav(take(student), singer::sing(tune, plan).samples, singer::rate_hz);
  }

  support::ScratchFolder scratch_;
};

/// All files of a folder with their contents.
std::map<std::string, std::string> contents_of(const std::string& folder) {
  std::map<std::string, std::string> contents;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file())
      contents[fs::relative(entry.path(), folder).string()] = file_content(entry.path().string()).value();
  return contents;
}

struct Heard {
  std::vector<std::string> stems;
  std::map<std::string, TakeStatus> status;
  std::map<std::string, std::string> problems;

  BatchEvents events() {
    BatchEvents events;
    events.on_take = [this](const TakeOutcome& outcome) {
      const std::string stem = fs::path(outcome.name).stem().string();
      stems.push_back(stem);
      status[stem] = outcome.status;
      if (outcome.problem) problems[stem] = outcome.problem->what;
    };
    return events;
  }
};

double percent_of(const GradeReport& report, std::size_t student) {
  return report.book.students.at(student).pieces.at(0).mark_percent.value_or(-1);
}

}  // namespace

TEST_CASE("a class is graded from C++: marks, files, and what is wrong with one take") {
  const ClassFolder folder;
  Heard heard;
  const GradePlan plan = plan_grading(folder.options());
  CHECK(plan.matched.students == std::vector<std::string>{"ana", "ben", "cleo"});
  const GradeReport report = grade_assignment(plan, heard.events());
  CHECK_FALSE(report.signal);
  CHECK(heard.stems == std::vector<std::string>{"ana", "ben", "cleo"});
  CHECK(heard.status["ana"] == TakeStatus::passed);
  CHECK(heard.status["cleo"] == TakeStatus::not_measured);
  CHECK(heard.problems["cleo"] == "this is not a recording but text");
  REQUIRE(report.book.students.size() == 3);
  CHECK(percent_of(report, 0) > 80);
  CHECK(percent_of(report, 1) < percent_of(report, 0) - 10);  // four of 18 notes are 70 cents flat
  CHECK(report.book.students[2].pieces.at(0).status == GradeStatus::not_measured);
  CHECK(file_content(folder.out("class.txt")) == report.class_text);
  CHECK(file_content(folder.out("gradebook.json")) == report.gradebook_json);
  for (const char* name : {"ana.html", "results/ana.json", "results/cleo.json", "private/sources.csv"})
    CHECK(fs::exists(folder.out(name)));
  CHECK(fs::is_empty(folder.out("private/locks")));
}

TEST_CASE("a second run measures only what changed and writes the same bytes; shards join to the same") {
  const ClassFolder folder;
  const GradeReport first = grade_assignment(plan_grading(folder.options()));
  const auto written = contents_of(folder.out());
  const auto measured_at = fs::last_write_time(folder.out("results/ana.json"));
  const GradeReport second = grade_assignment(plan_grading(folder.options()));
  CHECK(second.gradebook_json == first.gradebook_json);
  CHECK(contents_of(folder.out()) == written);
  CHECK(fs::last_write_time(folder.out("results/ana.json")) == measured_at);

  fs::remove_all(folder.out());
  for (const int number : {1, 2}) {
    GradeOptions shard = folder.options();
    shard.shard = Shard{number, 2};
    CHECK(grade_assignment(plan_grading(shard)).book.students.empty());
  }
  Heard heard;
  CHECK(grade_assignment(plan_grading(folder.options()), heard.events()).gradebook_json == first.gradebook_json);
  CHECK(heard.stems.size() == 3);
  CHECK(contents_of(folder.out()) == written);
}

TEST_CASE("no class mixes two programs: a result of another measurement version is measured again") {
  const ClassFolder folder;
  GradePlan plan = plan_grading(folder.options());
  grade_assignment(plan);
  const auto measured_at = fs::last_write_time(folder.out("results/ana.json"));
  plan.measured_by = "0.1+another";
  grade_assignment(plan);
  const auto measured_again_at = fs::last_write_time(folder.out("results/ana.json"));
  CHECK(measured_again_at > measured_at);
  grade_assignment(plan);
  CHECK(fs::last_write_time(folder.out("results/ana.json")) == measured_again_at);
}

TEST_CASE("takes are checked from C++, each with its outcome, in order") {
  const ClassFolder folder;
  Heard heard;
  CheckOptions options;
  options.takes = {folder.take("ben"), folder.take("nobody"), folder.take("ana")};
  options.melody = read_melody_file(folder.melody());
  options.measuring.settings = apply_overrides({}, options.melody);
  options.out_folder = folder.out();
  options.require_percent = 90;
  options.jobs = 3;
  options.render = [](const std::string&, const Result& result) { return std::to_string(result.notes.size()); };
  std::vector<std::string> texts;
  BatchEvents events = heard.events();
  events.on_take = [&, also = events.on_take](const TakeOutcome& outcome) {
    texts.push_back(outcome.text);
    also(outcome);
  };
  CHECK_FALSE(check_takes(options, events));
  CHECK(heard.stems == std::vector<std::string>{"ben", "nobody", "ana"});
  CHECK(heard.status["ben"] == TakeStatus::below_required);
  CHECK(heard.status["nobody"] == TakeStatus::not_measured);
  CHECK(heard.problems["nobody"] == "there is no such file");
  CHECK(heard.status["ana"] == TakeStatus::passed);
  CHECK(texts.at(1) == "0");
  CHECK(fs::exists(folder.out("ana.html")));
  CHECK(fs::exists(folder.out("nobody.json")));
}

TEST_CASE("a signal ends a run early: finished results are written and reported, and a later run completes them") {
  const ClassFolder folder;
  CheckOptions options;
  for (int i = 0; i < 60; ++i) options.takes.push_back(folder.out("../no-such-take-" + std::to_string(i)));
  options.out_folder = folder.out();
  std::size_t reported = 0;
  int interrupted_by = 0;
  BatchEvents events;
  events.on_take = [&](const TakeOutcome&) {
    if (++reported == 3) std::raise(SIGTERM);
  };
  events.on_interrupt = [&](int signal) { interrupted_by = signal; };
  CHECK(check_takes(options, events) == SIGTERM);
  CHECK(interrupted_by == SIGTERM);
  CHECK(reported >= 3);
  CHECK(reported < options.takes.size());
  for (std::size_t i = 0; i < reported; ++i)
    CHECK(fs::exists(folder.out("no-such-take-" + std::to_string(i) + ".json")));
  const std::string list = file_content(folder.out("written.json")).value();
  CHECK(list.find("no-such-take-59.json") == std::string::npos);  // announced, never written

  reported = 100;
  CHECK_FALSE(check_takes(options, events));
  CHECK(reported == 160);
  CHECK(fs::exists(folder.out("no-such-take-59.json")));
}

TEST_CASE("two takes of one stem, a tuning that is none and an empty folder are the caller's errors") {
  const ClassFolder folder;
  CheckOptions options;
  options.takes = {"a/x.wav", "b/x.wav"};
  options.out_folder = folder.out();
  CHECK_THROWS_AS(check_takes(options), InputError);
  std::optional<Melody> none;
  SettingsOverrides overrides;
  overrides.tuning = "piano";
  CHECK_THROWS_AS(apply_overrides(overrides, none), InputError);
  fs::create_directories(folder.out("empty"));
  GradeOptions grade = folder.options();
  grade.assignment = folder.out("empty");
  CHECK_THROWS_AS(plan_grading(grade), InputError);
}
