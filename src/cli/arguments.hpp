// The arguments of one command, read with CLI11. Beyond what CLI11 does: an option may be given once only, a name in
// brackets is one name, and every error is one line in the words of this program.
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
  /// `name` as in "firmus check"; `example` is shown below the help.
  Arguments(std::string name, std::string_view description, std::string_view example);
  ~Arguments();

  /// An option with a value, stored as it was typed. `option` as in "--melody", `value` as in "FILE".
  void option(const std::string& option, const std::string& value, const std::string& help,
              std::optional<std::string>& target);
  /// As `option`, but it may be given several times; the values in their order.
  void repeated(const std::string& option, const std::string& value, const std::string& help,
                std::vector<std::string>& target);
  void flag(const std::string& option, const std::string& help, bool& target);
  /// All words that are no options.
  void positionals(const std::string& name, const std::string& help, std::vector<std::string>& target);

  /// Fills the targets, unless help is asked for. Throws InputError.
  ParseOutcome parse(int argc, const char* const* argv);
  std::string help() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// Throws InputError for a wrong command line: "firmus: WHAT; REMEDY", exit status 2.
[[noreturn]] void usage_error(std::string what, std::string remedy = {});

}  // namespace firmus::cli
