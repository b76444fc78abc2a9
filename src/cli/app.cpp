#include <fmt/format.h>

#include <array>
#include <exception>
#include <new>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include "arguments.hpp"
#include "base/system/memory.hpp"
#include "cli/cli.hpp"
#include "commands.hpp"
#include "firmus/report.hpp"
#include "near_words.hpp"
#include "streams.hpp"
#include "take_options.hpp"

namespace firmus {
using namespace cli;
namespace {

constexpr std::string_view short_help =
    R"(firmus checks the tuning of a recording against the written tune, note by note.

  firmus check TAKE... --melody FILE   where a take is sharp or flat, and how far
  firmus grade FOLDER --melody FILE    a class: gradebook, a page a student
  firmus trend RESULT...               weeks of results: what improves, what recurs
  firmus drill RESULT... --out DIR     what to practise: short melodies, from easy to hard
  firmus tone MELODY --to FILE.wav     the melody as reference tones
  firmus melody FILE                   check a melody and print it
  firmus pitch TAKE                    the pitch track alone, as CSV

Example:
  firmus check ana.flac --melody lantern.melody

"firmus help COMMAND" tells all about one; "firmus --version" says which this is.
)";

using Run = ExitStatus (*)(int, const char* const*);

struct Command {
  std::string_view name;
  Run run;
};

constexpr std::array<Command, 7> commands{{{"check", run_check},
                                           {"grade", run_grade},
                                           {"trend", run_trend},
                                           {"drill", run_drill},
                                           {"tone", run_tone},
                                           {"melody", run_melody},
                                           {"pitch", run_pitch}}};

[[noreturn]] void unknown_command(std::string_view word) {
  std::vector<std::string> names{"help"};
  for (const Command& command : commands) names.emplace_back(command.name);
  const auto meant = nearest_word(word, names);
  usage_error(fmt::format("\"{}\" is not a command", word),
              meant ? fmt::format("did you mean {}?", *meant)
                    : "the commands are check, grade, trend, drill, tone, melody and pitch");
}

Run command_named(std::string_view word) {
  for (const Command& command : commands)
    if (command.name == word) return command.run;
  unknown_command(word);
}

/// "firmus help COMMAND" is "firmus COMMAND --help".
ExitStatus run_help(int argc, const char* const* argv) {
  if (argc == 0) return show(short_help);
  if (argc > 1) usage_error("help is of one command", fmt::format("write firmus help {}", argv[0]));
  constexpr std::array<const char*, 1> help{"--help"};
  return command_named(argv[0])(1, help.data());
}

bool asks_for_version(std::string_view word) {
  return word == "--version" || word == "-V";
}

ExitStatus show_version() {
  return show(fmt::format("firmus {}\n", program_version()));
}

ExitStatus dispatch(int argc, char** argv) {
  if (argc < 2) {
    fmt::print(stderr, "{}", short_help);
    return wrong_input;
  }
  const std::string_view word = argv[1];
  if (word == "--help" || word == "-h") return show(short_help);
  if (asks_for_version(word)) return show_version();
  if (word == "help") return run_help(argc - 2, argv + 2);
  const Run command = command_named(word);
  if (argc == 3 && asks_for_version(argv[2])) return show_version();
  return command(argc - 2, argv + 2);
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
  } catch (const std::bad_alloc&) {
    diagnose("out of memory; close other programs, or give fewer --jobs");
    return program_failed;
  } catch (const std::system_error& error) {
    const bool no_threads = error.code() == std::errc::resource_unavailable_try_again;
    diagnose(no_threads ? "no thread can be started; close other programs, or allow more processes and memory"
                        : fmt::format("stopped: {}", error.what()));
    return program_failed;
  } catch (const std::exception& error) {  // an internal error
    diagnose(fmt::format("stopped: {}", error.what()));
    return program_failed;
  }
}

}  // namespace

int run_program(int argc, char** argv) {
  prepare_streams();
  system::tune_malloc();
  return guarded_dispatch(argc, argv);
}

}  // namespace firmus
