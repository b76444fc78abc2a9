#include "table.hpp"

#include <fmt/format.h>

namespace firmus::truth {
namespace {

constexpr double interval_low_percent = 94, interval_high_percent = 96;
/// An interval of at most this half width is never counted as too wide, whatever its coverage: it is inaudible.
constexpr double narrow_cents = 0.3;
constexpr double most_octave_percent = 0.3;
constexpr double most_wrong_while_sure_percent = 1, most_wrong_over_all_percent = 0.5, most_in_vain_percent = 2;

/// Writes cells, and counts the targets met and missed.
class Writer {
 public:
  std::string row(const std::string& name, const Condition& condition, const Score& score) {
    if (condition.not_run) return fmt::format("{:<20} not run: {}\n", name, *condition.not_run);
    std::string line = fmt::format("{:<20}{:>4}{:>6}", name, score.takes, score.written);
    line += at_least(percent(score.right, score.written), condition.right_percent);
    line += at_most(percent(score.wrong_while_sure, score.written),
                    condition.name.empty() ? most_wrong_over_all_percent : most_wrong_while_sure_percent);
    line += in_vain(condition, score);
    line += fmt::format("{:>6}{:>6}", score.called_missing, score.extras);
    line += left_out(condition, score);
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
  /// The target holds for the rows together: a single row has too few takes.
  std::string in_vain(const Condition& condition, const Score& score) {
    if (!condition.clean) return fmt::format("{:>8} ", "-");
    const std::string text = fmt::format("{}/{}", score.warned, score.takes);
    if (!condition.name.empty()) return fmt::format("{:>8} ", text);
    return fmt::format("{:>8}{}", text, mark(percent(score.warned, score.takes) <= most_in_vain_percent));
  }
  std::string left_out(const Condition& condition, const Score& score) {
    if (score.left_out == 0) return fmt::format("{:>9} ", "-");
    const std::string text = fmt::format("{}/{}", score.left_out_said, score.left_out);
    const auto target = condition.left_out_percent;
    return fmt::format("{:>9}{}", text, target ? mark(percent(score.left_out_said, score.left_out) >= *target) : " ");
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
  constexpr auto head =
      "{:<20}{:>4}{:>6}{:>8} {:<7}{:>7} {:>8} {:>6}{:>6}{:>9} {:>12}  {:<9}{:>7} {:>7} {:>12}  {:<9}{:>9}{:>8}{:>8}\n";
  Writer writer;
  std::string text = fmt::format(head, "", "", "", "right %", "", "wrong", "warned", "called", "false", "left out",
                                 "cents off", "", "95 % in", "octave", "onset ms off", "", "restarts", "tries", "");
  text += fmt::format(head, "condition", "take", "notes", "", "(goal)", "sure %", "in vain", "miss.", "extra", "said",
                      "med./95 %", "(goal)", "%", "off %", "med./95 %", "(goal)", "named", "right", "sure");
  Score all, clean;
  for (const Row& row : rows) {
    text += writer.row(row.condition.name, row.condition, row.score);
    add(all, row.score);
    if (row.condition.clean) add(clean, row.score);
  }
  Condition together;
  text += writer.row("all together", together, all);
  together.clean = true;
  text += writer.row("clean ones", together, clean);
  return text + writer.closing();
}

}  // namespace firmus::truth
