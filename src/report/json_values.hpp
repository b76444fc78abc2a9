// Values as JSON, each rounded to what it deserves; none is null.
#pragma once
#include <optional>
#include <string>

#include "report/cell.hpp"

namespace firmus::report {

inline Json cents_json(const std::optional<double>& value) {
  return to_json(cell_of(value, cents_decimals));
}
inline Json share_json(const std::optional<double>& value) {
  return to_json(cell_of(value, share_decimals));
}
inline Json text_json(const std::optional<std::string>& value) {
  return to_json(cell_of(value));
}
template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json();
}

}  // namespace firmus::report
