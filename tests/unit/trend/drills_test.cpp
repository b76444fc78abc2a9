// Takes of drills are reported by drill and date, and have no effect on the rest of a trend.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "firmus/report.hpp"
#include "weeks.hpp"

using namespace firmus;
using namespace firmus::weeks;
using doctest::Approx;
using Json = nlohmann::ordered_json;

namespace {

struct DrillTake {
  std::string drill, date;
  int in_tune;  // of 4, in a row
  double cents;
};

TrendTake drilled(const DrillTake& one, const char* interval = "M6") {
  TrendTake made;
  made.name = one.drill + "-" + one.date + ".json";
  made.result.context.student = "ana";
  if (!one.date.empty()) made.result.context.date = one.date;
  const std::string text =
      "title: " + one.drill + "\ndrill: flat on interval " + interval + " up; notes 1 2 3 4\n\nA4 A4 A4 A4\n";
  const Melody melody = read_melody(text, "drill");
  made.result.melody = MelodyFacts{melody.title, melody.sha256, melody.text, {}, {}, {}, 4};
  made.result.summary.judged = 4;
  for (int i = 0; i < 4; ++i) {
    NoteResult note;
    note.index = i;
    note.verdict = i < one.in_tune ? Verdict::in_tune : Verdict::flat;
    note.errors.own_cents = one.cents;
    made.result.notes.push_back(note);
  }
  DrillProgress progress;
  progress.aim = *melody.drill;
  progress.aim.notes.clear();
  progress.notes = progress.judged = 4;
  progress.in_tune = progress.most_in_a_row = one.in_tune;
  progress.mean_cents = one.cents;
  progress.done = one.in_tune == 4;
  made.result.drill = progress;
  return made;
}

std::vector<TrendTake> songs(int count) {
  std::vector<TrendTake> takes;
  for (int week = 0; week < count; ++week)
    takes.push_back(take("ana", monday(week), [&](int note) { return noise(week, note) - 40 * is_after_sixth(note); }));
  return takes;
}

const TrendDrills& only_drills(const Trend& trend) {
  REQUIRE(trend.students.size() == 1);
  REQUIRE(trend.students[0].drills.size() == 1);
  return trend.students[0].drills[0];
}

std::vector<TrendTake> two_weeks() {
  return {drilled({"Hold A4", "2026-09-24", 4, -6}),   drilled({"Hold A4", "2026-09-22", 1, -40}),
          drilled({"Hold A4", "2026-09-22", 4, -8}),   drilled({"The leap", "2026-09-26", 4, -5}),
          drilled({"The leap", "2026-09-24", 2, -30}), drilled({"The phrase", "2026-09-26", 1, -35})};
}

}  // namespace

TEST_CASE("figures, dates and habits of a student are the same with takes of drills among them") {
  std::vector<TrendTake> takes = songs(6);
  const StudentTrend alone = make_trend(takes).students.at(0);
  for (const TrendTake& one : two_weeks()) takes.insert(takes.begin() + 2, one);
  const StudentTrend mixed = make_trend(takes).students.at(0);
  CHECK(mixed.takes == alone.takes);
  CHECK(mixed.melodies == 1);
  REQUIRE(mixed.points.size() == alone.points.size());
  REQUIRE(mixed.habits.size() == alone.habits.size());
  for (std::size_t h = 0; h < alone.habits.size(); ++h)
    CHECK(mixed.habits[h].change.habit.row.mean_cents == alone.habits[h].change.habit.row.mean_cents);
  CHECK(mixed.drills.size() == 1);
  CHECK(alone.drills.empty());
}

TEST_CASE("drills are told date by date, takes of one date together, in the order that drills were first taken") {
  const Trend trend = make_trend(two_weeks());
  const TrendDrills& drills = only_drills(trend);
  CHECK(drills.aim.name == "M6");
  CHECK(drills.by_date);
  REQUIRE(drills.points.size() == 5);
  const TrendDrillPoint& first = drills.points[0];
  CHECK(*first.date == "2026-09-22");
  CHECK(first.takes.size() == 2);
  CHECK(first.notes == 8);
  CHECK(first.in_tune == 5);
  CHECK(first.most_in_a_row == 4);
  CHECK(*first.mean_cents == Approx(-24));  // of -40 and -8
  CHECK(first.done);
  CHECK(drills.points[1].drill == "Hold A4");
  CHECK(drills.points[2].drill == "The leap");
  CHECK_FALSE(drills.points[2].done);
  CHECK(*drills.points[4].date == "2026-09-26");
  CHECK(*drills.first_cents == Approx(-24));
  CHECK(*drills.last_cents == Approx(-20));  // of -5 and -35
}

TEST_CASE("a drill is told done when it was done on two days, not in two takes of one") {
  using States = std::vector<std::pair<std::string, DrillState>>;
  CHECK(only_drills(make_trend(two_weeks())).states ==
        States{{"Hold A4", DrillState::done}, {"The leap", DrillState::once}, {"The phrase", DrillState::not_done}});
  const std::vector<TrendTake> one_day{drilled({"Hold A4", "2026-09-22", 4, -6}),
                                       drilled({"Hold A4", "2026-09-22", 4, -7})};
  CHECK(only_drills(make_trend(one_day)).states == States{{"Hold A4", DrillState::once}});
  const std::vector<TrendTake> undated{drilled({"Hold A4", "", 4, -6}), drilled({"Hold A4", "", 4, -7})};
  CHECK(only_drills(make_trend(undated)).states == States{{"Hold A4", DrillState::done}});
  CHECK(only_drills(make_trend(undated)).points.size() == 2);
}

TEST_CASE("each fault has its own drills") {
  std::vector<TrendTake> takes = two_weeks();
  takes.push_back(drilled({"Hold A4", "2026-09-30", 4, -3}, "m6"));
  const StudentTrend ana = make_trend(takes).students.at(0);
  REQUIRE(ana.drills.size() == 2);
  CHECK(ana.drills[0].points.size() == 5);
  CHECK(ana.drills[1].aim.name == "m6");
  CHECK(ana.drills[1].states.at(0).second == DrillState::once);
}

TEST_CASE("the words say how far off, what is done, and what to take again") {
  std::vector<TrendTake> takes = two_weeks();
  takes[3].result.decision = AlignmentDecision::listen;
  const std::string text = trend_as_text(make_trend(takes), Colour::never);
  for (const char* words :
       {"Student     ana, 6 recordings of drills", "Drills: flat rising major sixths",
        "24 cents flat on average at first (2026-09-22), 20 cents flat at last", "done, on two days: Hold A4",
        "done once; repeat it on another day: The leap", "not done yet: The phrase",
        "listen to The leap-2026-09-26.json: it may be of something else",
        "2026-09-22  Hold A4                        5 of 8         4      -24   yes"}) {
    CAPTURE(words);
    CHECK(text.find(words) != std::string::npos);
  }
  CHECK(text.find("No recurring problem") == std::string::npos);
}

TEST_CASE("JSON and CSV hold what the text says of drills") {
  const Trend trend = make_trend(two_weeks());
  const Json drills = Json::parse(trend_as_json(trend)).at("students").at(0).at("drills").at(0);
  CHECK(drills.at("off") == "flat");
  CHECK(drills.at("group") == "interval");
  CHECK(drills.at("name") == "M6");
  CHECK(drills.at("direction") == "up");
  CHECK(drills.at("first_cents") == -24.0);
  CHECK(drills.at("drills").at(1).dump() == R"({"drill":"The leap","state":"done once"})");
  CHECK(drills.at("points").size() == 5);
  CHECK(drills.at("points").at(0).at("done") == true);
  const Json schema = Json::parse(trend_json_schema());
  const auto has_its_keys = [](const Json& object, const Json& described) {
    CHECK(object.size() == described.at("properties").size());
    for (const auto& [key, value] : object.items()) CHECK(described.at("properties").contains(key));
  };
  const Json& described = schema.at("properties").at("students").at("items").at("properties").at("drills").at("items");
  has_its_keys(drills, described);
  has_its_keys(drills.at("points").at(0), described.at("properties").at("points").at("items"));
  has_its_keys(drills.at("drills").at(0), described.at("properties").at("drills").at("items"));
  const std::string csv = trend_drills_csv(trend);
  CHECK(csv.starts_with(
      "student,off,group,name,direction,date,drill,takes,notes,judged,in_tune,most_in_a_row,mean_cents,done\r\n"
      "ana,flat,interval,M6,up,2026-09-22,Hold A4,"));
  CHECK(csv.find(",8,8,5,4,-24.0,yes\r\n") != std::string::npos);
}
