#include "base/json_in.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

namespace firmus {
namespace {

using Json = nlohmann::ordered_json;

std::string kind_of(const Json& value) {
  if (value.is_null()) return "null";
  if (value.is_object()) return "an object";
  if (value.is_array()) return "a list";
  if (value.is_string()) return "text";
  return value.is_boolean() ? "true or false" : "a number";
}

}  // namespace

void JsonIn::reject(std::string_view what, std::string remedy) const {
  const std::string path = source_->path_of(*value_);
  throw InputError(Problem{source_->place_of(*value_),
                           path.empty() ? std::string(what) : fmt::format("\"{}\" {}", path, what), std::move(remedy)});
}

void JsonIn::refuse_kind(std::string_view right) const {
  reject(fmt::format("is {}", kind_of(*value_)), fmt::format("{} would be right", right));
}

bool JsonIn::is_null() const {
  return value_->is_null();
}

bool JsonIn::is_object() const {
  return value_->is_object();
}

std::string JsonIn::text() const {
  if (!value_->is_string()) refuse_kind("text");
  return value_->get<std::string>();
}

bool JsonIn::boolean() const {
  if (!value_->is_boolean()) refuse_kind("true or false");
  return value_->get<bool>();
}

int JsonIn::integer(int least, int most) const {
  const std::string right = most == std::numeric_limits<int>::max()
                                ? fmt::format("a whole number from {}", least)
                                : fmt::format("a whole number from {} to {}", least, most);
  if (!value_->is_number()) refuse_kind(right);
  const double number = value_->get<double>();
  if (!value_->is_number_integer() || number < least || number > most)
    reject("is " + value_->dump(), right + " would be right");
  return value_->get<int>();
}

double JsonIn::number() const {
  if (!value_->is_number()) refuse_kind("a number");
  return value_->get<double>();
}

double JsonIn::number_or_nan() const {
  return value_->is_null() ? std::numeric_limits<double>::quiet_NaN() : number();
}

JsonIn JsonIn::at(std::string_view key) const {
  if (!value_->is_object()) refuse_kind("an object");
  const auto found = value_->find(key);
  if (found == value_->end()) reject(fmt::format("lacks \"{}\"", key), source_->wanted());
  return {*source_, *found};
}

std::optional<JsonIn> JsonIn::find(std::string_view key) const {
  if (!value_->is_object()) refuse_kind("an object");
  const auto found = value_->find(key);
  if (found == value_->end() || found->is_null()) return std::nullopt;
  return JsonIn(*source_, *found);
}

std::vector<JsonKey> JsonIn::keys() const {
  if (!value_->is_object()) refuse_kind("an object");
  return source_->keys_of(*value_);
}

std::size_t JsonIn::size() const {
  if (!value_->is_array()) refuse_kind("a list");
  return value_->size();
}

JsonIn JsonIn::item(std::size_t number) const {
  if (!value_->is_array()) refuse_kind("a list");
  return {*source_, value_->at(number)};
}

}  // namespace firmus
