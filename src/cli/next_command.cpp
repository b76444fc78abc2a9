#include "next_command.hpp"

#include "base/shell_words.hpp"

namespace firmus::cli {

std::string next_command(const CheckCommand& command, const std::string& take, const Result& result) {
  if (result.error) return {};
  const std::string check = "firmus check ";
  const std::string name = take == "-" ? "TAKE" : shell_path(take);
  if (!command.melody_path && (!result.melody || command.options.out_folder)) return check + name + " --melody FILE";
  if (!command.melody_path)
    return check + name + " --key " + shell_path(result.melody->key.value_or("")) + " --out results";
  if (result.melody && result.decision == AlignmentDecision::not_this_melody) return check + name;
  std::string with_melody = " --melody " + shell_path(*command.melody_path);
  if (command.options.melody && command.options.melody->bars)
    with_melody += " --bars " + bar_range_text(*command.options.melody->bars);
  const auto& out_folder = command.options.out_folder;
  if (!out_folder) return check + name + with_melody + " --out results";
  return check + "NEXT_TAKE" + with_melody + " --out " + shell_path(*out_folder);
}

}  // namespace firmus::cli
