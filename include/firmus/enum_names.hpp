// Names of enumerators, as JSON, CSV and the command line have them. Beside each such enum stands its one table,
// enum_names(E), from which to_string, parsing and the lists of values in schemas come.
#pragma once
#include <array>
#include <optional>
#include <string_view>

namespace firmus {

template <class E>
struct EnumName {
  E value;
  std::string_view name;
};

template <class E>
concept NamedEnum = requires(E value) {
  enum_names(value);
};

template <NamedEnum E>
constexpr std::string_view to_string(E value) {
  for (const EnumName<E>& one : enum_names(value))
    if (one.value == value) return one.name;
  return {};
}

/// The enumerator of that name; none where there is none.
template <NamedEnum E>
constexpr std::optional<E> enum_named(std::string_view name) {
  for (const EnumName<E>& one : enum_names(E{}))
    if (one.name == name) return one.value;
  return std::nullopt;
}

}  // namespace firmus
