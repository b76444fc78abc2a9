// firmus pitch TAKE
#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "base/frames.hpp"
#include "commands.hpp"
#include "firmus/take.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

struct RawPitch {
  std::vector<std::string> takes;
  RawTakeOptions reading;
  bool quiet = false;
};

std::string take_of(const RawPitch& raw) {
  if (raw.takes.empty()) usage_error("no take is given", "write firmus pitch TAKE");
  if (raw.takes.size() > 1) usage_error("more than one take is given", "write firmus pitch TAKE for each");
  return path_value("TAKE", raw.takes.front());
}

/// Printed in blocks, so that memory does not grow with the track.
void put_track(const F0Track& track) {
  constexpr std::size_t block_bytes = 1 << 16;
  std::string block = "time_s,f0_hz,periodicity,level_dbfs\r\n";
  for (std::size_t i = 0; i < track.f0_hz.size(); ++i) {
    auto out = std::back_inserter(block);
    fmt::format_to(out, "{:.3f},", time_of_frame(i));
    if (track.f0_hz[i] > 0) fmt::format_to(out, "{:.4f}", track.f0_hz[i]);
    fmt::format_to(out, ",{:.4f},", track.periodicity[i] + 0.0F);
    if (std::isfinite(track.level_dbfs[i])) fmt::format_to(out, "{:.1f}", track.level_dbfs[i]);
    block += "\r\n";
    if (block.size() < block_bytes) continue;
    put(block);
    block.clear();
  }
  put(block);
  flush_output();
}

void warn_of(const Recording& take, const F0Track& track) {
  for (const RecordingWarning& warning : take.signal_quality.warnings)
    warn({{take.name}, warning.detail, warning.advice});
  const bool silent =
      !take.signal_quality.warnings.empty() && take.signal_quality.warnings.front().kind == RecordingFault::silence;
  if (silent) return;
  for (const float f0_hz : track.f0_hz)
    if (f0_hz > 0) return;
  warn({{take.name}, "no pitched sound was found", ""});
}

}  // namespace

ExitStatus run_pitch(int argc, const char* const* argv) {
  RawPitch raw;
  Arguments arguments("firmus pitch",
                      "The pitch track of a take as CSV: time_s,f0_hz,periodicity,level_dbfs.\n"
                      "f0_hz is empty where nothing is sung.",
                      "  firmus pitch ana.flac > ana.pitch.csv");
  arguments.positionals("TAKE", "the take; - is standard input", raw.takes);
  add_take_options(arguments, raw.reading);
  arguments.flag("--quiet", "no warnings on standard error", raw.quiet);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  const std::string path = take_of(raw);
  ReadOptions options = resolve(raw.reading);
  options.silence = Silence::keep;
  require_output();
  try {
    const Recording take = read_recording(path, options);
    const F0Track track = track_pitch(take, default_jobs());
    put_track(track);
    if (!raw.quiet) warn_of(take, track);
    return done;
  } catch (const TakeError& error) {
    diagnose(to_line({{path}, error.detail, error.advice}));
    return take_not_measured;
  }
}

}  // namespace firmus::cli
