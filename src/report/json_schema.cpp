#include "json_fields.hpp"

namespace firmus::report {
namespace {

/// The type, or an array of it and "null".
Json type_of(const char* type, bool nullable) {
  return nullable ? Json::array({type, "null"}) : Json(type);
}

Json list_of(const Json& item, bool nullable = false) {
  return {{"type", type_of("array", nullable)}, {"items", item}};
}

Json enum_schema(const Names& names, bool nullable) {
  Json values = Json::array();
  for (const std::string_view name : names) values.push_back(std::string(name));
  if (nullable) values.push_back(nullptr);
  return {{"enum", std::move(values)}};
}

/// A limit; written as an integer when it is one.
Json limit(double value) {
  const auto whole = static_cast<int>(value);
  return whole == value ? Json(whole) : Json(value);
}

void add_limits(Json& schema, const Format& format) {
  if (format.minimum) schema["minimum"] = limit(*format.minimum);
  if (format.maximum) schema["maximum"] = limit(*format.maximum);
  if (format.above) schema["exclusiveMinimum"] = limit(*format.above);
}

Json schema_of(const Shape& shape, const Format& format) {
  using enum Shape::Type;
  if (shape.names) return enum_schema(shape.names(), shape.nullable);
  switch (shape.type) {
    case text:
      return {{"type", type_of("string", shape.nullable)}};
    case boolean:
      return {{"type", type_of("boolean", shape.nullable)}};
    case integer:
    case number: {
      Json schema = {{"type", type_of(shape.type == integer ? "integer" : "number", shape.nullable)}};
      add_limits(schema, format);
      return schema;
    }
    case interval: {
      Json schema = list_of({{"type", "number"}}, shape.nullable);
      schema["minItems"] = 2;
      schema["maxItems"] = 2;
      return schema;
    }
    case texts:
      return list_of({{"type", "string"}});
    case integers: {
      Json item = {{"type", "integer"}};
      add_limits(item, format);
      return list_of(item);
    }
    case numbers_or_null:
      return list_of({{"type", Json::array({"number", "null"})}});
  }
  return {};
}

/// The meaning of a field as the schema words it: an empty cell in CSV is null in JSON.
std::string in_json_words(std::string_view meaning) {
  constexpr std::string_view of_csv = "empty", of_json = "null";
  std::string text(meaning);
  for (std::size_t at = text.find(of_csv); at != std::string::npos; at = text.find(of_csv, at))
    text.replace(at, of_csv.size(), of_json);
  return text;
}

}  // namespace

Json value_schema(const Shape& shape, const Format& format, std::string_view meaning) {
  Json schema = schema_of(shape, format);
  if (!format.pattern.empty()) schema["pattern"] = std::string(format.pattern);
  return meaning.empty() ? schema : described(std::move(schema), in_json_words(meaning));
}

void add_property(Json& object_schema, std::string_view key, Json value) {
  object_schema["required"].push_back(std::string(key));
  object_schema["properties"][std::string(key)] = std::move(value);
}

Json list_schema(Json item, std::string_view meaning) {
  Json schema = {{"type", "array"}, {"items", std::move(item)}};
  return meaning.empty() ? schema : described(std::move(schema), meaning);
}

Json described(Json schema, std::string_view meaning) {
  schema["description"] = std::string(meaning);
  return schema;
}

Json schema_head(std::string_view kind, std::string_view description) {
  const std::string name(kind);
  Json schema = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                 {"$id", "urn:firmus:" + name + ":1"},
                 {"title", "firmus." + name + "/1"},
                 {"description", std::string(description)},
                 {"type", "object"},
                 {"required", Json::array()},
                 {"properties", Json::object()}};
  add_property(schema, "schema", {{"const", "firmus." + name + "/1"}});
  Json program = {{"type", "object"}, {"required", Json::array()}, {"properties", Json::object()}};
  add_property(program, "version", {{"type", "string"}});
  program["properties"]["measurement"] = {{"type", "string"}};  // results of version 0.1 have none
  add_property(schema, "program", std::move(program));
  return schema;
}

std::string schema_text(const Json& schema) {
  return schema.dump(2) + "\n";
}

}  // namespace firmus::report
