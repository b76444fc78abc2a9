#include <fmt/format.h>

#include <exception>
#include <string>
#include <string_view>

#include "arguments.hpp"
#include "base/system/memory.hpp"
#include "cli/cli.hpp"
#include "commands.hpp"
#include "firmus/report.hpp"
#include "streams.hpp"
#include "take_options.hpp"

namespace firmus {
using namespace cli;
namespace {

constexpr std::string_view short_help = R"(firmus measures a recorded line against its melody, note by note, in cents.

  firmus check TAKE... --melody FILE   where a take is sharp or flat, and how far
  firmus grade FOLDER --melody FILE    a class: gradebook, a page a student
  firmus trend RESULT...               weeks of results: what gets better, what keeps coming
  firmus drill RESULT... --out DIR     what to practise: short melodies, from easy to hard
  firmus tone MELODY --to FILE.wav     the melody as reference tones
  firmus melody FILE                   check a melody and print it
  firmus pitch TAKE                    the pitch track alone, as CSV

Example:
  firmus check ana.flac --melody lantern.melody

"firmus COMMAND --help" tells all about one; "firmus --version" says which this is.
)";

ExitStatus dispatch(int argc, char** argv) {
  if (argc < 2) {
    fmt::print(stderr, "{}", short_help);
    return wrong_input;
  }
  const std::string_view word = argv[1];
  const int rest = argc - 2;
  const char* const* arguments = argv + 2;
  if (word == "check") return run_check(rest, arguments);
  if (word == "grade") return run_grade(rest, arguments);
  if (word == "drill") return run_drill(rest, arguments);
  if (word == "melody") return run_melody(rest, arguments);
  if (word == "pitch") return run_pitch(rest, arguments);
  if (word == "tone") return run_tone(rest, arguments);
  if (word == "trend") return run_trend(rest, arguments);
  if (word == "--help") return show(short_help);
  if (word == "--version") return show(fmt::format("firmus {}\n", program_version()));
  usage_error(fmt::format("\"{}\" is not a command", word),
              "the commands are check, grade, trend, drill, tone, melody and pitch");
}

/// The only place where exceptions become lines and an exit status.
ExitStatus guarded_dispatch(int argc, char** argv) {
  try {
    return dispatch(argc, argv);
  } catch (const InputError& error) {
    diagnose(error.problems());
    return wrong_input;
  } catch (const WriteError& error) {
    diagnose(error.what());
    return not_written;
  } catch (const std::exception& error) {  // out of memory, or an internal error
    diagnose(fmt::format("stopped: {}", error.what()));
    return not_written;
  }
}

}  // namespace

int run_program(int argc, char** argv) {
  prepare_streams();
  system::tune_malloc();
  return guarded_dispatch(argc, argv);
}

}  // namespace firmus
