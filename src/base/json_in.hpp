// Reads JSON from users value by value; every error names its location in the file. RFC 8259, at most 16 MiB, nested at
// most 64 levels deep.
#pragma once
#include <cstddef>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/error.hpp"

namespace firmus {

/// A key of an object, with its location.
struct JsonKey {
  std::string name;
  SourceLocation place;
};

/// The text with its parsed values. Must outlive every JsonIn made from it.
class JsonSource {
 public:
  /// Throws InputError when the text is not JSON, too large or nested too deep. `file` is the name shown in problems;
  /// `wanted` is their remedy ("give a result that firmus wrote").
  JsonSource(std::string_view text, std::string file, std::string wanted);
  ~JsonSource();

  const nlohmann::ordered_json& root() const { return *root_; }
  const std::string& file() const { return file_; }
  const std::string& wanted() const { return wanted_; }
  /// The location of a value, and its path: "notes[3].index", "" for the root itself.
  SourceLocation place_of(const nlohmann::ordered_json& value) const;
  std::string path_of(const nlohmann::ordered_json& value) const;
  /// The keys of an object as written, duplicates included.
  std::vector<JsonKey> keys_of(const nlohmann::ordered_json& object) const;

 private:
  std::string text_, file_, wanted_;
  std::unique_ptr<nlohmann::ordered_json> root_;
};

/// One value. Reading it as another type than it has throws InputError with its location.
class JsonIn {
 public:
  explicit JsonIn(const JsonSource& source) : JsonIn(source, source.root()) {}

  std::string text() const;
  bool boolean() const;
  int integer(int least, int most) const;
  double number() const;
  /// The number, or NaN for null (as NaN is written in JSON).
  double number_or_nan() const;
  bool is_null() const;
  bool is_object() const;

  std::string path() const { return source_->path_of(*value_); }
  std::vector<JsonKey> keys() const;  ///< of this object
  /// The member of this object; throws when it is missing.
  JsonIn at(std::string_view key) const;
  /// The member of this object; none when it is missing or null.
  std::optional<JsonIn> find(std::string_view key) const;
  std::size_t size() const;               ///< of this array
  JsonIn item(std::size_t number) const;  ///< of this array; number < size()

  /// The enumerator of this name.
  template <NamedEnum E>
  E one_of() const {
    const std::string name = text();
    if (const auto value = enum_named<E>(name)) return *value;
    std::string names;
    for (const EnumName<E>& one : enum_names(E{})) names += (names.empty() ? "" : ", ") + std::string(one.name);
    reject("is \"" + name + "\"", "one of " + names + " would be right");
  }

  /// Throws InputError "NAME WHAT; REMEDY" with the location of this value.
  [[noreturn]] void reject(std::string_view what, std::string remedy) const;

 private:
  JsonIn(const JsonSource& source, const nlohmann::ordered_json& value) : source_(&source), value_(&value) {}
  [[noreturn]] void refuse_kind(std::string_view right) const;

  const JsonSource* source_;
  const nlohmann::ordered_json* value_;
};

}  // namespace firmus
