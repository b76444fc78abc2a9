#include "take_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <thread>

#include "base/base.hpp"
#include "streams.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {
constexpr int most_jobs = 256;
}

void add_take_options(Arguments& arguments, RawTakeOptions& raw) {
  arguments.option("--longest", "MINUTES", "refuse takes longer than this (30)", raw.longest);
  arguments.option("--decoder", "COMMAND", "command for other formats; none: no ffmpeg", raw.decoder);
}

ReadOptions resolve(const RawTakeOptions& raw) {
  ReadOptions options;
  if (raw.longest) options.longest_s = Seconds(60 * number_value("--longest", *raw.longest, {0, 24 * 60, true}));
  options.find_ffmpeg = !raw.decoder;
  if (!raw.decoder || *raw.decoder == "none") return options;
  (void)decoder_words(*raw.decoder, "take");  // throws at once where it is wrong
  options.decoder = raw.decoder;
  return options;
}

void tell_of_ffmpeg(const std::vector<std::string>& takes, const ReadOptions& options) {
  const auto first = std::find_if(takes.begin(), takes.end(),
                                  [&](const std::string& take) { return is_read_by_ffmpeg(take, options); });
  if (first != takes.end()) diagnose(fmt::format("{} is read through ffmpeg", display_name(*first)));
}

int jobs_value(const std::optional<std::string>& text) {
  return text ? whole_value("--jobs", *text, 1, most_jobs) : default_jobs();
}

OutputFormat format_value(const std::optional<std::string>& text) {
  constexpr std::array<std::string_view, 3> choices{"text", "json", "csv"};
  return text ? static_cast<OutputFormat>(choice_value("--format", *text, choices)) : OutputFormat::text;
}

int default_jobs() {
  return std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, most_jobs);
}

ExitStatus show(std::string_view text) {
  require_output();
  put(text);
  flush_output();
  return done;
}

ExitStatus show_help(const Arguments& arguments) {
  return show(arguments.help());
}

}  // namespace firmus::cli
