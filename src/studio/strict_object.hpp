// Reads a JSON object written by a user. Unknown keys, repeated keys and wrong types become problems, all of which are
// collected.
#pragma once
#include <functional>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

#include "base/diagnostics.hpp"
#include "base/json_in.hpp"

namespace firmus::studio {

class StrictObject {
 public:
  StrictObject(JsonIn in, std::initializer_list<std::string_view> known, Diagnostics& problems);

  bool has(std::string_view key) const;
  /// Calls `read` with the member if it exists. An InputError that it throws is added to the problems.
  void read(std::string_view key, const std::function<void(const JsonIn&)>& read);
  void read_text(std::string_view key, std::string& target);
  void read_text(std::string_view key, std::optional<std::string>& target);
  void read_flag(std::string_view key, bool& target);
  /// A number from `lowest` to `highest`, inclusive. The target keeps its value when the key is missing or wrong.
  void read_number(std::string_view key, double lowest, double highest, double& target);
  void read_number(std::string_view key, double lowest, double highest, std::optional<double>& target);

  Diagnostics& problems() { return problems_; }

 private:
  JsonIn in_;
  bool is_object_ = true;
  Diagnostics& problems_;
};

void add_all(Diagnostics& problems, const InputError& error);

/// A finite number from `lowest` to `highest`; throws InputError for others.
double number_within(const JsonIn& in, double lowest, double highest);

}  // namespace firmus::studio
