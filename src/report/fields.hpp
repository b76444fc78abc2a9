// Tables of fields: for each struct that is reported (a note, a habit, a summary, ...) a list of its fields. The CSV
// columns, the JSON keys, the reader, the reference (--fields) and the JSON Schema are made from it.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "base/json_in.hpp"
#include "firmus/enum_names.hpp"
#include "firmus/quantities.hpp"
#include "report/cell.hpp"
#include "result_in.hpp"

namespace firmus::report {

using Names = std::vector<std::string_view>;

/// How the values of a field are written, read and described.
struct Format {
  int decimals = 0;
  bool trimmed = false;                                 ///< without trailing zeros in text
  std::optional<double> minimum{}, maximum{}, above{};  ///< JSON Schema: minimum, maximum, exclusiveMinimum
  bool nullable = false;                                ///< of a required number: null when it is not finite
  std::string_view pattern{};                           ///< JSON Schema, of text: a regular expression
  Names (*names)() = nullptr;                           ///< of text: the allowed values; null: any
  int read_from = 0, read_to = any_int;                 ///< limits when an integer is read; others are rejected
  bool is_index = false;                                ///< index of a written note: must be below their number
  bool may_be_missing = false;  ///< absent in results of older versions; then 0 or false is read
};

/// The type of a value, for the JSON Schema.
struct Shape {
  enum class Type { text, integer, number, boolean, interval, texts, integers, numbers_or_null };
  Type type = Type::text;
  bool nullable = false;
  Names (*names)() = nullptr;  ///< of an enum; else null
};

template <NamedEnum E>
Names names_of() {
  Names names;
  for (const EnumName<E>& one : enum_names(E{})) names.push_back(one.name);
  return names;
}

/// For values of type T: `shape`, `cell` (to write one) and `read` (from JSON).
template <class T>
struct ValueOf;

template <class Row>
struct Field {
  std::string_view column;   ///< CSV column; empty: not in CSV
  std::string_view key;      ///< JSON key, "error_cents.own" for a nested one; empty: not in JSON
  std::string_view unit;     ///< empty: a name or a count
  std::string_view meaning;  ///< one line, shown in the reference and the schema
  Format format;
  Shape shape;
  Cell (*get)(const Row&, const Format&);
  /// Reads `key` (without its outer part) from the object that contains it; null pointer: the field is not read.
  void (*set)(Row&, const JsonIn& object, std::string_view key, const Format&, int written_notes);

  Cell cell(const Row& row) const { return get(row, format); }
};

struct FieldNames {
  std::string_view column, key, unit, meaning;
};
/// A field whose column and key are the same.
constexpr FieldNames both(std::string_view name, std::string_view unit, std::string_view meaning) {
  return {name, name, unit, meaning};
}
constexpr FieldNames key_only(std::string_view key, std::string_view unit = {}, std::string_view meaning = {}) {
  return {{}, key, unit, meaning};
}

template <class Class, class Member>
Class class_of(Member Class::*);

/// A field that is a member, given by a chain of member pointers: <&SharedHabit::row, &HabitRow::count>.
template <auto First, auto... Rest>
constexpr auto member(FieldNames names, Format format = {}) {
  using Row = decltype(class_of(First));
  using Value = std::remove_cvref_t<decltype(((std::declval<Row&>().*First).*....*Rest))>;
  Field<Row> field{names.column, names.key, names.unit, names.meaning, format, ValueOf<Value>::shape(format), {}, {}};
  field.get = [](const Row& row, const Format& how) { return ValueOf<Value>::cell(((row.*First).*....*Rest), how); };
  field.set = [](Row& row, const JsonIn& object, std::string_view key, const Format& how, int written_notes) {
    ((row.*First).*....*Rest) = ValueOf<Value>::read(object, key, how, written_notes);
  };
  return field;
}

/// A field computed from the row and not read. `Get` is a function object without state.
template <class Row, class Get>
constexpr Field<Row> computed(FieldNames names, Format format, Get) {
  using Value = std::remove_cvref_t<decltype(Get{}(std::declval<const Row&>()))>;
  Field<Row> field{names.column, names.key, names.unit, names.meaning, format, ValueOf<Value>::shape(format), {}, {}};
  field.get = [](const Row& row, const Format& how) { return ValueOf<Value>::cell(Get{}(row), how); };
  return field;
}

/// The same field with another reader.
template <class Row>
constexpr Field<Row> read_by(Field<Row> field, decltype(Field<Row>::set) set) {
  field.set = set;
  return field;
}

template <class Row>
void read_fields(std::span<const Field<Row>> fields, Row& row, const JsonIn& object, int written_notes = any_int) {
  for (const Field<Row>& field : fields) {
    if (field.key.empty() || !field.set) continue;
    const std::size_t dot = field.key.find('.');
    if (dot == std::string_view::npos) {
      field.set(row, object, field.key, field.format, written_notes);
    } else if (const auto outer = object.find(field.key.substr(0, dot))) {
      field.set(row, *outer, field.key.substr(dot + 1), field.format, written_notes);
    }
  }
}

/// Appends a comma and a cell to a line of CSV.
inline void add_to_line(std::string& line, const Cell& cell) {
  line += ',';
  line += csv_cell(cell);
}

template <class Row>
void add_header(std::string& line, std::span<const Field<Row>> fields) {
  for (const Field<Row>& field : fields)
    if (!field.column.empty()) add_to_line(line, Cell(std::string(field.column)));
}

template <class Row>
void add_cells(std::string& line, std::span<const Field<Row>> fields, const Row& row) {
  for (const Field<Row>& field : fields)
    if (!field.column.empty()) add_to_line(line, field.cell(row));
}

// ---- values

template <>
struct ValueOf<std::string> {
  static constexpr Shape shape(const Format& format) { return {Shape::Type::text, false, format.names}; }
  static Cell cell(const std::string& value, const Format&) { return value; }
  static std::string read(const JsonIn& object, std::string_view key, const Format&, int) {
    return object.at(key).text();
  }
};

template <>
struct ValueOf<int> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::integer, false, nullptr}; }
  static Cell cell(int value, const Format&) { return value; }
  static int read(const JsonIn& object, std::string_view key, const Format& format, int written_notes) {
    const int most = format.is_index ? written_notes - 1 : format.read_to;
    if (format.may_be_missing) return integer_in(object, key, format.read_from, most).value_or(0);
    return object.at(key).integer(format.read_from, most);
  }
};

template <>
struct ValueOf<bool> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::boolean, false, nullptr}; }
  static Cell cell(bool value, const Format&) { return value; }
  static bool read(const JsonIn& object, std::string_view key, const Format& format, int) {
    if (format.may_be_missing && !object.find(key)) return false;
    return object.at(key).boolean();
  }
};

template <>
struct ValueOf<double> {
  static constexpr Shape shape(const Format& format) { return {Shape::Type::number, format.nullable, nullptr}; }
  static Cell cell(double value, const Format& format) { return Number{value, format.decimals, format.trimmed}; }
  static double read(const JsonIn& object, std::string_view key, const Format&, int) {
    return object.at(key).number_or_nan();
  }
};

template <class Unit>
struct ValueOf<Quantity<Unit>> {
  static constexpr Shape shape(const Format& format) { return ValueOf<double>::shape(format); }
  static Cell cell(Quantity<Unit> value, const Format& format) { return ValueOf<double>::cell(value.value(), format); }
  static Quantity<Unit> read(const JsonIn& object, std::string_view key, const Format&, int) {
    return Quantity<Unit>(object.at(key).number_or_nan());
  }
};

template <>
struct ValueOf<std::pair<double, double>> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::interval, false, nullptr}; }
  static Cell cell(const std::pair<double, double>& value, const Format& format) {
    return std::pair(Number{value.first, format.decimals}, Number{value.second, format.decimals});
  }
  static std::pair<double, double> read(const JsonIn& object, std::string_view key, const Format&, int) {
    const auto interval = interval_in(object, key);
    if (!interval) object.at(key).reject("is null", "give the lower and the upper end");
    return *interval;
  }
};

/// Numbers that carry their own decimals; those of the Format are ignored.
template <>
struct ValueOf<Number> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::number, false, nullptr}; }
  static Cell cell(const Number& value, const Format&) { return value; }
};
template <>
struct ValueOf<std::pair<Number, Number>> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::interval, false, nullptr}; }
  static Cell cell(const std::pair<Number, Number>& value, const Format&) { return value; }
};

template <NamedEnum E>
struct ValueOf<E> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::text, false, &names_of<E>}; }
  static Cell cell(E value, const Format&) { return std::string(to_string(value)); }
  static E read(const JsonIn& object, std::string_view key, const Format&, int) {
    return object.at(key).template one_of<E>();
  }
};

template <>
struct ValueOf<std::vector<int>> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::integers, false, nullptr}; }
  static Cell cell(const std::vector<int>& value, const Format&) { return value; }
  static std::vector<int> read(const JsonIn& object, std::string_view key, const Format& format, int written_notes) {
    const int most = format.is_index ? written_notes - 1 : format.read_to;
    return list_in(object, key, [&](const JsonIn& item) { return item.integer(format.read_from, most); });
  }
};

template <>
struct ValueOf<std::vector<std::string>> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::texts, false, nullptr}; }
  static Cell cell(const std::vector<std::string>& value, const Format&) { return value; }
  static std::vector<std::string> read(const JsonIn& object, std::string_view key, const Format&, int) {
    return list_in(object, key, [](const JsonIn& item) { return item.text(); });
  }
};

template <>
struct ValueOf<std::vector<std::optional<double>>> {
  static constexpr Shape shape(const Format&) { return {Shape::Type::numbers_or_null, false, nullptr}; }
  static Cell cell(const std::vector<std::optional<double>>& values, const Format& format) {
    std::vector<std::optional<Number>> numbers;
    for (const auto& value : values)
      numbers.push_back(value ? std::optional(Number{*value, format.decimals, false}) : std::nullopt);
    return numbers;
  }
};

/// None is an empty cell in CSV and null in JSON.
template <class T>
struct ValueOf<std::optional<T>> {
  static constexpr Shape shape(const Format& format) {
    Shape shape = ValueOf<T>::shape(format);
    shape.nullable = true;
    return shape;
  }
  static Cell cell(const std::optional<T>& value, const Format& format) {
    return value ? ValueOf<T>::cell(*value, format) : Cell();
  }
  static std::optional<T> read(const JsonIn& object, std::string_view key, const Format& format, int written_notes) {
    if constexpr (std::is_same_v<T, double>) {
      return number_in(object, key);
    } else if constexpr (std::is_same_v<T, std::pair<double, double>>) {
      return interval_in(object, key);
    } else {
      return object.find(key) ? std::optional<T>(ValueOf<T>::read(object, key, format, written_notes)) : std::nullopt;
    }
  }
};

}  // namespace firmus::report
