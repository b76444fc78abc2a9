#include "settings_options.hpp"

#include <array>

#include "values.hpp"

namespace firmus::cli {
namespace {

constexpr double lowest_a4_hz = 300, highest_a4_hz = 600;  // as in a melody's a4 line
constexpr double largest_tolerance_cents = 100;            // beyond it a note is another note

Reference reference_of(const RawSettings& raw, const std::optional<Melody>& melody) {
  constexpr std::array<std::string_view, 3> choices{"concert", "own", "interval"};
  if (raw.reference) return *parse_reference(choices[choice_value("--reference", *raw.reference, choices)]);
  return melody && melody->reference ? *melody->reference : Reference::own;
}

std::optional<Hertz> a4_of(const RawSettings& raw) {
  if (!raw.a4) return std::nullopt;
  return Hertz(number_value("--a4", *raw.a4, {lowest_a4_hz, highest_a4_hz}));
}

std::optional<Tuning> tuning_of(const RawSettings& raw, const std::optional<Melody>& melody) {
  if (!raw.tuning) return std::nullopt;
  const auto tuning = parse_tuning(*raw.tuning, melody && melody->key ? *melody->key : Key{});
  if (!tuning)
    wrong_usage("--tuning: \"" + *raw.tuning + "\" is no tuning",
                "write equal, just, pythagorean, meantone, or twelve cents from equal, C to B, in quotes");
  return tuning;
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

Settings settle(const RawSettings& raw, std::optional<Melody>& melody) {
  const std::optional<Hertz> a4 = a4_of(raw);
  const std::optional<Tuning> tuning = tuning_of(raw, melody);
  Settings settings;
  settings.reference = reference_of(raw, melody);
  if (raw.tolerance)
    settings.tolerance_cents = Cents(number_value("--tolerance", *raw.tolerance, {0, largest_tolerance_cents, true}));
  if (melody && (a4 || tuning)) melody = with_tuning(std::move(*melody), a4, tuning);
  settings.a4_hz = melody ? melody->a4_hz : a4.value_or(settings.a4_hz);
  settings.tuning = tuning_name(melody ? melody->tuning : tuning.value_or(Tuning{}));
  return settings;
}

}  // namespace firmus::cli
