// The arguments of one command, read with CLI11 and its traps filled in: every option at most once, a name in brackets
// is one name, every error one line in our words.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace firmus::cli {

enum class ParseOutcome { run, show_help };

class Arguments {
 public:
  /// `name` as in "firmus check"; `example`: shown under the help.
  Arguments(std::string name, std::string_view description, std::string_view example);
  ~Arguments();

  /// An option with a value, kept as it was typed. `option` as in "--melody", `value` as in "FILE".
  void option(const std::string& option, const std::string& value, const std::string& help,
              std::optional<std::string>& target);
  void flag(const std::string& option, const std::string& help, bool& target);
  /// All that is no option.
  void positionals(const std::string& name, const std::string& help, std::vector<std::string>& target);

  /// Fills the targets. Throws InputError.
  ParseOutcome parse(int argc, const char* const* argv);
  std::string help() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// A wrong command line: "firmus: WHAT; REMEDY", exit status 2.
[[noreturn]] void usage_error(std::string what, std::string remedy = {});

}  // namespace firmus::cli
