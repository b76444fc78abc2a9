// firmus melody FILE
#include "firmus/melody.hpp"

#include <fmt/format.h>

#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "base/base.hpp"
#include "commands.hpp"
#include "line_options.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

struct RawMelody {
  std::vector<std::string> files;
  std::optional<std::string> format, to;
  RawLine line;
  bool quiet = false;
};

enum class MelodyFormat { described, text, csv };

MelodyFormat format_of(const RawMelody& raw) {
  if (!raw.format) return MelodyFormat::described;
  constexpr std::array<std::string_view, 2> choices{"text", "csv"};
  return choice_value("--format", *raw.format, choices) == 0 ? MelodyFormat::text : MelodyFormat::csv;
}

std::string file_of(const RawMelody& raw) {
  if (raw.files.empty()) usage_error("no melody is given", "write firmus melody FILE");
  if (raw.files.size() > 1) usage_error("more than one melody is given", "write firmus melody FILE for each");
  return path_value("FILE", raw.files.front());
}

std::string path_of_text(const std::string& path) {
  const std::string ending = std::filesystem::path(path_value("--to", path)).extension().string();
  if (ending != ".melody" && ending != ".txt")
    usage_error(fmt::format("--to is \"{}\"", path), "a name that ends in .melody or .txt would be right");
  return path;
}

std::string printed(const Melody& melody, MelodyFormat format) {
  switch (format) {
    case MelodyFormat::described:
      return describe_melody(melody);
    case MelodyFormat::text:
      return melody_as_text(melody);
    case MelodyFormat::csv:
      return melody_as_csv(melody);
  }
  return {};
}

}  // namespace

ExitStatus run_melody(int argc, const char* const* argv) {
  RawMelody raw;
  Arguments arguments("firmus melody", "Checks a melody and prints it: bars, beats, intervals, words, what looks odd.",
                      "  firmus melody lantern.melody");
  arguments.positionals("FILE", "the melody", raw.files);
  arguments.option("--format", "text|csv", "print the melody as a file: text or CSV", raw.format);
  arguments.option("--to", "FILE.melody", "write it as melody text, whatever it was read from", raw.to);
  add_line_options(arguments, raw.line);
  arguments.flag("--quiet", "no warnings on standard error", raw.quiet);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  const MelodyFormat format = format_of(raw);
  const Melody melody = read_melody_file(file_of(raw), resolve(raw.line));
  if (raw.to) {
    write_whole_file(path_of_text(*raw.to), melody_as_text(melody));
  } else {
    require_output();
    put(printed(melody, format));
    flush_output();
  }
  // The description ends with the warnings. The other formats are data, so their warnings go to standard error.
  if ((raw.to || format != MelodyFormat::described) && !raw.quiet)
    for (const Problem& warning : melody.warnings) warn(warning);
  return done;
}

}  // namespace firmus::cli
