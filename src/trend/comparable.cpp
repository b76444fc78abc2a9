#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "firmus/since.hpp"
#include "firmus/take.hpp"

namespace firmus {
namespace trend {
namespace {

bool same_written_notes(const Melody& a, const Melody& b) {
  return std::equal(a.notes.begin(), a.notes.end(), b.notes.begin(), b.notes.end(),
                    [](const WrittenNote& x, const WrittenNote& y) {
                      return x.pitch == y.pitch && x.beats == y.beats && x.grace == y.grace && x.mark == y.mark;
                    });
}

std::string title_in_quotes(const std::string& title) {
  return title.empty() ? "a melody without a title" : "\"" + title + "\"";
}

Problem other_melody(const Result& earlier, const Melody& melody, const std::string& name) {
  const std::string then = title_in_quotes(earlier.melody->title), now = title_in_quotes(melody.title);
  return {{name},
          then == now ? "is the result of another version of " + now + ": its notes differ"
                      : "is the result of " + then + ", not of " + now,
          "give a result of the same melody, or that melody with --melody"};
}

/// Results hold four decimals.
bool differ(double a, double b) {
  return std::fabs(a - b) > 1e-4;
}

/// The option and value that the earlier take was measured with, where another one is set now.
std::optional<std::string> other_setting(const Settings& then, const Settings& now) {
  if (then.reference != now.reference) return fmt::format("--reference {}", to_string(then.reference));
  if (differ(then.tolerance_cents, now.tolerance_cents))
    return fmt::format("--tolerance {:g}", then.tolerance_cents.value());
  if (then.tuning != now.tuning) return fmt::format("--tuning \"{}\"", then.tuning);
  if (now.reference == Reference::concert && differ(then.a4_hz, now.a4_hz))
    return fmt::format("--a4 {:g}", then.a4_hz.value());
  return std::nullopt;
}

}  // namespace
}  // namespace trend

std::optional<Problem> reason_not_comparable(const Result& earlier, const Melody& melody, const Settings& settings,
                                             const std::string& name) {
  using namespace trend;
  if (earlier.error)
    return Problem{{name}, "holds no measurement: " + earlier.error->detail, "give the result of a measured take"};
  if (!earlier.melody)
    return Problem{{name},
                   "is the result of a take without a melody",
                   "measure that take with the same --melody, and give its result"};
  if (earlier.decision == AlignmentDecision::not_this_melody)
    return Problem{{name}, "is the result of a take that is not its melody", "give the result of another take"};
  const std::optional<Melody> then = melody_of(earlier, name);
  if (!then || !same_written_notes(*then, melody)) return other_melody(earlier, melody, name);
  if (const auto option = other_setting(earlier.settings, settings))
    return Problem{{name}, "was measured with " + *option, "measure both takes with the same settings"};
  return std::nullopt;
}

}  // namespace firmus
