#include <utility>

#include "firmus/batch.hpp"

namespace firmus {
namespace {

Tuning tuning_named(const std::string& name, const std::optional<Melody>& melody) {
  const auto tuning = parse_tuning(name, melody && melody->key ? *melody->key : Key{});
  if (!tuning)
    throw InputError(
        Problem{{},
                "--tuning: \"" + name + "\" is not a tuning",
                "write equal, just, pythagorean, meantone, or twelve cents from equal, C to B, in quotes"});
  return *tuning;
}

}  // namespace

Settings apply_overrides(const SettingsOverrides& overrides, std::optional<Melody>& melody) {
  std::optional<Tuning> tuning;
  if (overrides.tuning) tuning = tuning_named(*overrides.tuning, melody);
  Settings settings;
  settings.reference = overrides.reference.value_or(melody && melody->reference ? *melody->reference : Reference::own);
  if (overrides.tolerance_cents) settings.tolerance_cents = *overrides.tolerance_cents;
  if (melody && (overrides.a4 || tuning)) melody = with_tuning(std::move(*melody), overrides.a4, tuning);
  settings.a4_hz = melody ? melody->a4_hz : overrides.a4.value_or(settings.a4_hz);
  settings.tuning = tuning_name(melody ? melody->tuning : tuning.value_or(Tuning{}));
  return settings;
}

}  // namespace firmus
