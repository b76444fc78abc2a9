// Whatever the bytes: read_result returns a result or throws InputError with one problem; a result can be written in
// every form, what it writes as JSON reads back as the same JSON and the same summary, and weeks of it have a trend.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/read_result.hpp"
#include "firmus/report.hpp"
#include "firmus/trend.hpp"

namespace {

void require(bool holds) {
  if (!holds) std::abort();
}

void check_reads_back(const firmus::Result& result) {
  const std::string json = firmus::as_json(result);
  const firmus::Result again = firmus::read_result(json, "again");
  require(firmus::as_json(again) == json);
  require(firmus::notes_csv_rows(again) == firmus::notes_csv_rows(result));
  require(firmus::habits_csv(again) == firmus::habits_csv(result));
  const firmus::Result third = firmus::read_result(firmus::as_json(again), "third");
  const auto text = [](const firmus::Result& r) { return firmus::as_text(r, firmus::Colour::never, "next"); };
  require(text(third) == text(again));
}

void check_has_trend(const firmus::Result& result) {
  std::vector<firmus::TrendTake> takes;
  for (const char* date : {"2026-09-07", "2026-09-14", "2026-09-21", "2026-09-28", "2026-10-05"}) {
    takes.push_back({date, result});
    takes.back().result.context.date = date;
  }
  const firmus::Trend trend = firmus::make_trend(takes);
  require(trend.students.size() + trend.damaged.size() >= 1);
  require(!firmus::trend_as_text(trend, firmus::Colour::ansi).empty());
  require(!firmus::trend_as_json(trend).empty());
  require(!(firmus::trend_points_csv(trend) + firmus::trend_habits_csv(trend)).empty());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    const firmus::Result result = firmus::read_result({reinterpret_cast<const char*>(data), size}, "fuzz");
    check_reads_back(result);
    check_has_trend(result);
  } catch (const firmus::InputError& error) {
    require(error.problems().size() == 1);
    require(to_line(error.problems()[0]).size() < 2000);
  }
  return 0;
}
