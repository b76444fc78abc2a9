#include "table.hpp"

#include <fmt/format.h>

namespace firmus::truth {
namespace {

constexpr double interval_low_percent = 94, interval_high_percent = 96;
/// An interval of at most this half width is never counted as too wide, whatever its coverage: it is inaudible.
constexpr double narrow_cents = 0.3;
constexpr double most_octave_percent = 0.3;

/// Writes cells, and counts the targets met and missed.
class Writer {
 public:
  std::string row(const std::string& name, const Condition& condition, const Score& score) {
    if (condition.not_run) return fmt::format("{:<18} not run: {}\n", name, *condition.not_run);
    std::string line = fmt::format("{:<18}{:>4}{:>6}", name, score.takes, score.written);
    line += at_least(percent(score.right, score.written), condition.right_percent);
    line += fmt::format("{:>6}{:>6}", score.called_missing, score.extras);
    line += errors(score.cents_off, 1, condition.cents, "{:.2f}/{:.2f}");
    line += interval(score);
    line += at_most(percent(score.octave_off, score.with_pitch), most_octave_percent);
    line += errors(score.onsets_off_s, 1000, condition.onset_ms, "{:.0f}/{:.0f}");
    line += fmt::format("{:>9}", fmt::format("{}/{}", score.restarts_named, score.restarts));
    line += fmt::format("{:>8}", fmt::format("{}/{}", score.tries_right, score.takes));
    line += fmt::format("{:>8}\n", fmt::format("{}/{}", score.sure, score.takes));
    return line;
  }
  std::string closing() const { return fmt::format("{} of {} targets reached\n", met_, met_ + missed_); }

 private:
  static double percent(int part, int whole) { return whole > 0 ? 100.0 * part / whole : 0; }
  const char* mark(bool good) {
    ++(good ? met_ : missed_);
    return good ? " " : "!";
  }
  std::string at_least(double value, std::optional<double> target) {
    if (!target) return fmt::format("{:>8.2f} {:<7}", value, "-");
    return fmt::format("{:>7.2f}{}{:<8}", value, mark(value >= *target), fmt::format("({})", *target));
  }
  std::string at_most(double value, double target) { return fmt::format("{:>7.2f}{}", value, mark(value < target)); }
  std::string errors(const std::vector<double>& values, double unit, const std::optional<ErrorTarget>& target,
                     const char* format) {
    const auto median = quantile(values, 0.5), p95 = quantile(values, 0.95);
    const std::string text = median ? fmt::format(fmt::runtime(format), *median * unit, *p95 * unit) : std::string("-");
    if (!target) return fmt::format("{:>12}  {:<9}", text, "-");
    const bool good = median && *median * unit <= target->median && *p95 * unit <= target->p95;
    return fmt::format("{:>12}{} {:<9}", text, mark(good), fmt::format("({}/{})", target->median, target->p95));
  }
  std::string interval(const Score& score) {
    const double share = percent(score.in_interval, score.with_pitch);
    const bool narrow = quantile(score.reach_cents, 0.5).value_or(0) <= narrow_cents;
    return fmt::format("{:>7.1f}{}", share,
                       mark(share >= interval_low_percent && (share <= interval_high_percent || narrow)));
  }

  int met_ = 0, missed_ = 0;
};

}  // namespace

std::string table_of(const std::vector<Row>& rows) {
  Writer writer;
  std::string text =
      fmt::format("{:<18}{:>4}{:>6}{:>8} {:<7}{:>6}{:>6}{:>12}  {:<9}{:>7} {:>7} {:>12}  {:<9}{:>9}{:>8}{:>8}\n", "",
                  "", "", "right %", "", "called", "false", "cents off", "", "95 % in", "octave", "onset ms off", "",
                  "restarts", "tries", "");
  text += fmt::format("{:<18}{:>4}{:>6}{:>8} {:<7}{:>6}{:>6}{:>12}  {:<9}{:>7} {:>7} {:>12}  {:<9}{:>9}{:>8}{:>8}\n",
                      "condition", "take", "notes", "", "(goal)", "miss.", "extra", "med./95 %", "(goal)", "%", "off %",
                      "med./95 %", "(goal)", "named", "right", "sure");
  Score all;
  for (const Row& row : rows) {
    text += writer.row(row.condition.name, row.condition, row.score);
    add(all, row.score);
  }
  Condition together;
  text += writer.row("all together", together, all);
  return text + writer.closing();
}

}  // namespace firmus::truth
