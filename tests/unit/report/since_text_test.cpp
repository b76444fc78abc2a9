// The three lines on a take compared with an earlier one.
#include <doctest/doctest.h>

#include "example.hpp"
#include "firmus/report.hpp"

using namespace firmus;

namespace {

/// The lines with these labels, each with the lines that go on from it.
std::string lines_of(const Result& result) {
  const std::string text = as_text(result, Colour::never, "");
  const std::size_t from = text.find("\nSince"), to = text.find("\n\n", from);
  return from == std::string::npos ? "none" : text.substr(from + 1, to - from);
}

Result compared(const Since& since) {
  Result result = example::measured();
  result.since = since;
  return result;
}

}  // namespace

TEST_CASE("better than last time, what is solved and what is new are told in three lines") {
  const Result result = compared(example::since());
  CHECK(lines_of(result) ==
        R"(Since       average error 24 cents then, 17 now: better by 7 (2 to 12)
Solved      rising major thirds (38 cents flat then), bar 2 beat 3 (102 cents
            sharp); 2 of the 3 notes out of tune then are in tune
New         bar 1 beat 3 (31 cents sharp); 1 of the 3 notes in tune then is
            out of tune
)");
  CHECK(as_text(result, Colour::never, "")
            .starts_with("Take        ana.flac, 0:10; compared with ana-1.flac of 2026-11-03\n"));
}

TEST_CASE("no change is claimed where the interval holds 0") {
  Since since = example::since();
  since.now_mean_abs_cents = 22;
  since.change_cents = -2.04;
  since.change_ci95_cents = {{-6.4, 2.4}};
  since.verdict = SinceVerdict::not_clear;
  since.solved.clear();
  since.appeared.clear();
  since.in_tune_then_off_now = 0;
  CHECK(lines_of(compared(since)) ==
        R"(Since       average error 24 cents then, 22 now: no clear change (-6 to +2)
Solved      nothing for certain; 2 of the 3 notes out of tune then are in tune
New         nothing for certain
)");
}

TEST_CASE("an interval that ends close to 0 does not read as if it held it") {
  Since since = example::since();
  since.change_ci95_cents = {{-13.6, -0.4}};
  CHECK(lines_of(compared(since))
            .starts_with("Since       average error 24 cents then, 17 now: better by 7 (0.4 to 14)\n"));
  since.change_cents = 5;
  since.change_ci95_cents = {{0.3, 9.7}};
  since.verdict = SinceVerdict::worse;
  CHECK(lines_of(compared(since))
            .starts_with("Since       average error 24 cents then, 17 now: worse by 5 (0.3 to 10)\n"));
}

TEST_CASE("without notes in common, or with too few of them, it says so") {
  Since since;
  since.take = "ana-1.flac";
  CHECK(lines_of(compared(since)) == "Since       No note was judged in both takes.\n");
  since = example::since();
  since.change_ci95_cents.reset();
  since.verdict = SinceVerdict::not_clear;
  CHECK(lines_of(compared(since))
            .starts_with("Since       average error 24 cents then, 17 now: too few notes to compare\n"));
}
