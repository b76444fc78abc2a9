// Reads values of a saved result. A missing key and null are absent; a wrong type throws InputError.
#pragma once
#include <limits>

#include "base/json_in.hpp"
#include "firmus/result.hpp"

namespace firmus::report {

inline constexpr int any_int = std::numeric_limits<int>::max();

inline std::optional<std::string> text_in(const JsonIn& object, std::string_view key) {
  const auto value = object.find(key);
  return value ? std::optional(value->text()) : std::nullopt;
}
/// Rejects numbers beyond 1e7 in magnitude: no take has them, and sums of larger ones could overflow.
inline std::optional<double> number_in(const JsonIn& object, std::string_view key) {
  constexpr double largest = 1e7;  // cents, seconds, hertz
  const auto value = object.find(key);
  if (!value) return std::nullopt;
  const double number = value->number();
  if (number < -largest || number > largest) value->reject("is beyond 10000000", "no figure of a take is that large");
  return number;
}
inline std::optional<int> integer_in(const JsonIn& object, std::string_view key, int least = 0, int most = any_int) {
  const auto value = object.find(key);
  return value ? std::optional(value->integer(least, most)) : std::nullopt;
}
/// The items of an array, each read by `read`; empty when the key is missing or null.
template <class Read>
auto list_in(const JsonIn& object, std::string_view key, Read read) {
  std::vector<decltype(read(object))> list;
  const auto array = object.find(key);
  if (!array) return list;
  list.reserve(array->size());
  for (std::size_t i = 0; i < array->size(); ++i) list.push_back(read(array->item(i)));
  return list;
}
/// The lower and the upper end of an interval, written as an array of two numbers.
inline std::optional<std::pair<double, double>> interval_in(const JsonIn& object, std::string_view key) {
  const auto interval = object.find(key);
  if (!interval) return std::nullopt;
  if (interval->size() != 2) interval->reject("has not two numbers", "give the lower and the upper end");
  return std::pair(interval->item(0).number_or_nan(), interval->item(1).number_or_nan());
}

}  // namespace firmus::report
