#include "strict_object.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

namespace firmus::studio {

void add_all(Diagnostics& problems, const InputError& error) {
  for (const Problem& problem : error.problems())
    problems.add({problem.place.line, problem.place.column}, problem.what, problem.remedy);
}

StrictObject::StrictObject(JsonIn in, std::initializer_list<std::string_view> known, Diagnostics& problems)
    : in_(in), problems_(problems) {
  try {
    std::set<std::string> seen;
    for (const JsonKey& key : in.keys()) {
      const SourcePosition spot{key.place.line, key.place.column};
      if (std::find(known.begin(), known.end(), key.name) == known.end())
        problems.add(spot, fmt::format("the key {} is not known", firmus::in_quotes(key.name)),
                     fmt::format("the keys here are {}", fmt::join(known, ", ")));
      else if (!seen.insert(key.name).second)
        problems.add(spot, fmt::format("the key {} is given twice", firmus::in_quotes(key.name)),
                     "leave one of the two");
    }
  } catch (const InputError& error) {
    is_object_ = false;
    add_all(problems, error);
  }
}

bool StrictObject::has(std::string_view key) const {
  if (!is_object_) return false;
  const std::vector<JsonKey> keys = in_.keys();
  return std::any_of(keys.begin(), keys.end(), [&](const JsonKey& one) { return one.name == key; });
}

void StrictObject::read(std::string_view key, const std::function<void(const JsonIn&)>& read) {
  if (!has(key)) return;
  try {
    read(in_.at(key));
  } catch (const InputError& error) {
    add_all(problems_, error);
  }
}

void StrictObject::read_text(std::string_view key, std::string& target) {
  read(key, [&](const JsonIn& in) { target = in.text(); });
}

void StrictObject::read_text(std::string_view key, std::optional<std::string>& target) {
  read(key, [&](const JsonIn& in) { target = in.text(); });
}

void StrictObject::read_flag(std::string_view key, bool& target) {
  read(key, [&](const JsonIn& in) { target = in.boolean(); });
}

double number_within(const JsonIn& in, double lowest, double highest) {
  const double value = in.number();
  if (!std::isfinite(value) || value < lowest || value > highest)
    in.reject(fmt::format("is {:g}", value), fmt::format("a number from {:g} to {:g} would be right", lowest, highest));
  return value;
}

void StrictObject::read_number(std::string_view key, double lowest, double highest, double& target) {
  read(key, [&](const JsonIn& in) { target = number_within(in, lowest, highest); });
}

void StrictObject::read_number(std::string_view key, double lowest, double highest, std::optional<double>& target) {
  read(key, [&](const JsonIn& in) { target = number_within(in, lowest, highest); });
}

}  // namespace firmus::studio
