// JSON objects of rows and their JSON Schema (draft 7), made from the tables of fields.
#pragma once
#include <nlohmann/json.hpp>

#include "fields.hpp"

namespace firmus::report {

/// The value of the field's key in the object, created if absent; "error_cents.own" is "own" in "error_cents".
template <class Row>
Json& place_of_key(Json& object, const Field<Row>& field) {
  const std::size_t dot = field.key.find('.');
  if (dot == std::string_view::npos) return object[std::string(field.key)];
  return object[std::string(field.key.substr(0, dot))][std::string(field.key.substr(dot + 1))];
}

template <class Row>
void add_to(Json& object, std::span<const Field<Row>> fields, const Row& row) {
  for (const Field<Row>& field : fields)
    if (!field.key.empty()) place_of_key(object, field) = to_json(field.cell(row));
}

template <class Row>
Json json_object(std::span<const Field<Row>> fields, const Row& row) {
  Json object = Json::object();
  add_to(object, fields, row);
  return object;
}

template <class Row>
Json json_list(std::span<const Field<Row>> fields, const std::vector<Row>& rows) {
  Json list = Json::array();
  for (const Row& row : rows) list.push_back(json_object(fields, row));
  return list;
}

/// The schema of one value; `meaning` becomes its description.
Json value_schema(const Shape& shape, const Format& format, std::string_view meaning);

/// Adds a required property.
void add_property(Json& object_schema, std::string_view key, Json value);

/// The schema of an object with these fields, added to `object` if one is given.
template <class Row>
Json object_schema(std::span<const Field<Row>> fields, Json object = {}) {
  if (object.is_null()) object = {{"type", "object"}, {"required", Json::array()}, {"properties", Json::object()}};
  for (const Field<Row>& field : fields) {
    if (field.key.empty()) continue;
    const Json value = value_schema(field.shape, field.format, field.meaning);
    const std::size_t dot = field.key.find('.');
    if (dot == std::string_view::npos) {
      add_property(object, field.key, value);
      continue;
    }
    const std::string_view outer = field.key.substr(0, dot);
    if (!object["properties"].contains(outer))
      add_property(object, outer, {{"type", "object"}, {"required", Json::array()}, {"properties", Json::object()}});
    add_property(object["properties"][std::string(outer)], field.key.substr(dot + 1), value);
  }
  return object;
}

Json list_schema(Json item, std::string_view meaning = {});
/// The schema with a description.
Json described(Json schema, std::string_view meaning);
/// The beginning of each schema: title firmus.KIND/1, description and program version.
Json schema_head(std::string_view kind, std::string_view description);
/// The schema as text, with two spaces of indentation.
std::string schema_text(const Json& schema);

}  // namespace firmus::report
