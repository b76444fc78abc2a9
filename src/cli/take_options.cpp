#include "take_options.hpp"

#include <algorithm>
#include <thread>

#include "streams.hpp"
#include "values.hpp"

namespace firmus::cli {

void add_take_options(Arguments& arguments, RawTakeOptions& raw) {
  arguments.option("--longest", "MINUTES", "refuse takes longer than this (30)", raw.longest);
  arguments.option("--decoder", "COMMAND", "other formats: 'ffmpeg -v error -i {} -f wav -'", raw.decoder);
}

ReadOptions resolve(const RawTakeOptions& raw) {
  ReadOptions options;
  if (raw.longest) options.longest_s = Seconds(60 * number_value("--longest", *raw.longest, {0, 24 * 60, true}));
  if (raw.decoder) (void)decoder_words(*raw.decoder, "take");  // says at once what is wrong with it
  options.decoder = raw.decoder;
  return options;
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
