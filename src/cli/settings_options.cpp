#include "settings_options.hpp"

#include <array>

#include "values.hpp"

namespace firmus::cli {
namespace {

constexpr double lowest_a4_hz = 300, highest_a4_hz = 600;  // as in a melody's a4 line
constexpr double largest_tolerance_cents = 100;            // above it a note is another note

void check_tuning(const SettingsOverrides& overrides) {
  std::optional<Melody> none;
  (void)apply_overrides(overrides, none);
}

}  // namespace

void add_settings_options(Arguments& arguments, RawSettings& raw) {
  arguments.option("--reference", "concert|own|interval", "concert pitch, own pitch (default), note to note",
                   raw.reference);
  arguments.option("--tolerance", "CENTS", "in tune up to here (25)", raw.tolerance);
  add_tuning_options(arguments, raw);
}

void add_tuning_options(Arguments& arguments, RawSettings& raw) {
  arguments.option("--a4", "HZ", "concert pitch (the melody's own, or 440)", raw.a4);
  arguments.option("--tuning", "NAME", "equal, just, pythagorean, meantone, or 12 cents", raw.tuning);
}

SettingsOverrides resolve(const RawSettings& raw) {
  constexpr std::array<std::string_view, 3> references{"concert", "own", "interval"};
  SettingsOverrides overrides;
  if (raw.a4) overrides.a4 = Hertz(number_value("--a4", *raw.a4, {lowest_a4_hz, highest_a4_hz}));
  overrides.tuning = raw.tuning;
  check_tuning(overrides);
  if (raw.reference)
    overrides.reference = parse_reference(references[choice_value("--reference", *raw.reference, references)]);
  if (raw.tolerance)
    overrides.tolerance_cents = Cents(number_value("--tolerance", *raw.tolerance, {0, largest_tolerance_cents, true}));
  return overrides;
}

}  // namespace firmus::cli
