#include "arguments.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>

#include "firmus/error.hpp"
#include "near_words.hpp"

namespace firmus::cli {
namespace {

/// CLI11 splits "[a,b]" in two and drops "++". A character that no argument holds, appended to them, prevents that.
constexpr char guard = '\x01';

std::string guarded(std::string argument) {
  if (argument.starts_with('[') || argument == "++") argument += guard;
  return argument;
}

std::string unguarded(std::string argument) {
  if (!argument.empty() && argument.back() == guard) argument.pop_back();
  return argument;
}

std::string first_line(std::string text) {
  return text.substr(0, text.find('\n'));
}

}  // namespace

struct Arguments::Impl {
  CLI::App app;
  std::string name;
  std::vector<std::pair<CLI::Option*, std::optional<std::string>*>> options;
  std::vector<std::pair<CLI::Option*, std::vector<std::string>*>> repeated;
  std::vector<std::pair<CLI::Option*, bool*>> flags;
  CLI::Option* rest = nullptr;
  std::vector<std::string>* rest_target = nullptr;
  std::vector<std::string> unread;  ///< what CLI11 fills; `parse` reads its results instead

  /// Of "-m" or "--melodie=X" the word between the hyphens and the value is compared.
  std::string what_was_meant_by(const std::string& typed) const {
    const std::size_t begin = std::min(typed.find_first_not_of('-'), typed.size());
    std::vector<std::string> names{"help"};
    for (const auto& [option, target] : options) names.push_back(option->get_name().substr(2));
    for (const auto& [flag, target] : flags) names.push_back(flag->get_name().substr(2));
    const auto meant = nearest_word(typed.substr(begin, typed.find('=') - begin), names);
    if (meant) return "did you mean --" + *meant + "?";
    return "see " + name + " --help; a name that begins with - goes after --";
  }

  [[noreturn]] void explain_unknown() const {
    for (const std::string& word : app.remaining())
      if (word != "--") {
        const std::string shown = unguarded(word);
        if (shown.starts_with('-') && shown.size() > 1)
          usage_error(shown + " is not an option of " + name, what_was_meant_by(shown));
        usage_error("\"" + shown + "\" is one name too many", "see " + name + " --help");
      }
    usage_error("the arguments cannot be read", "see " + name + " --help");
  }

  void require_once() const {
    const auto check = [](const CLI::Option* option) {
      if (option->count() > 1) usage_error(option->get_name() + " is given twice", "give it once");
    };
    for (const auto& [option, target] : options) check(option);
    for (const auto& [option, target] : flags) check(option);
  }

  /// The message of CLI11 begins with the option's name.
  [[noreturn]] void explain_mismatch(const CLI::ParseError& error) const {
    require_once();
    const std::string text = first_line(error.what());
    for (const auto& [option, target] : options)
      if (text.starts_with(option->get_name() + ":"))
        usage_error(option->get_name() + " has no value",
                    "write " + option->get_name() + " " + option->get_type_name());
    for (const auto& [option, target] : repeated)
      if (text.starts_with(option->get_name() + ":"))
        usage_error(option->get_name() + " has no value",
                    "write " + option->get_name() + " " + option->get_type_name());
    for (const auto& [flag, target] : flags)
      if (text.find(flag->get_name().substr(2)) != std::string::npos) usage_error(flag->get_name() + " takes no value");
    usage_error(text, "see " + name + " --help");
  }
};

Arguments::Arguments(std::string name, std::string_view description, std::string_view example)
    : impl_(std::make_unique<Impl>()) {
  impl_->name = name;
  impl_->app.name(name);
  impl_->app.description(std::string(description));
  impl_->app.footer("Example:\n" + std::string(example));
  impl_->app.set_help_flag("-h,--help", "This text");
  impl_->app.get_formatter()->column_width(26);
  impl_->app.option_defaults()->multi_option_policy(CLI::MultiOptionPolicy::Throw);
}

Arguments::~Arguments() = default;

void Arguments::option(const std::string& option, const std::string& value, const std::string& help,
                       std::optional<std::string>& target) {
  CLI::Option* added = impl_->app.add_option(option, help);
  added->type_name(value)->expected(1);
  impl_->options.emplace_back(added, &target);
}

void Arguments::repeated(const std::string& option, const std::string& value, const std::string& help,
                         std::vector<std::string>& target) {
  CLI::Option* added = impl_->app.add_option(option, help);
  added->type_name(value)->expected(1)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  impl_->repeated.emplace_back(added, &target);
}

void Arguments::flag(const std::string& option, const std::string& help, bool& target) {
  CLI::Option* added = impl_->app.add_flag(option, help);
  added->disable_flag_override();
  impl_->flags.emplace_back(added, &target);
}

void Arguments::positionals(const std::string& name, const std::string& help, std::vector<std::string>& target) {
  impl_->rest = impl_->app.add_option(name, impl_->unread, help)->type_name("");
  impl_->rest->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  impl_->rest_target = &target;
}

ParseOutcome Arguments::parse(int argc, const char* const* argv) {
  std::vector<std::string> reversed;
  for (int i = argc - 1; i >= 0; --i) reversed.push_back(guarded(argv[i]));
  try {
    impl_->app.parse(std::move(reversed));
  } catch (const CLI::CallForHelp&) {
    return ParseOutcome::show_help;
  } catch (const CLI::ExtrasError&) {
    impl_->explain_unknown();
  } catch (const CLI::ParseError& error) {
    impl_->explain_mismatch(error);
  }
  impl_->require_once();
  for (const auto& [option, target] : impl_->options)
    if (option->count() > 0) *target = unguarded(option->results().front());
  for (const auto& [option, target] : impl_->repeated)
    for (const std::string& value : option->results()) target->push_back(unguarded(value));
  for (const auto& [flag, target] : impl_->flags) *target = flag->count() > 0;
  if (impl_->rest)
    for (const std::string& word : impl_->rest->results()) impl_->rest_target->push_back(unguarded(word));
  return ParseOutcome::run;
}

std::string Arguments::help() const {
  return impl_->app.help();
}

void usage_error(std::string what, std::string remedy) {
  throw InputError(Problem{{}, std::move(what), std::move(remedy)});
}

}  // namespace firmus::cli
