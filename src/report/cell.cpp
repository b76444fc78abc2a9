#include "report/cell.hpp"

#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/base.hpp"

namespace firmus::report {
namespace {

std::string without_trailing_zeros(std::string text) {
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string joined(const std::vector<std::string>& parts, std::string_view separator) {
  return fmt::format("{}", fmt::join(parts, separator));
}

/// Whether a spreadsheet takes the text for a formula, by its first character (OWASP, "CSV Injection").
bool would_be_run(std::string_view text) {
  return !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos;
}

bool is_text(const Cell& cell) {
  return std::holds_alternative<std::string>(cell) || std::holds_alternative<std::vector<std::string>>(cell);
}

struct ToText {
  std::string operator()(std::monostate) const { return {}; }
  std::string operator()(const std::string& text) const { return as_utf8(text); }
  std::string operator()(int value) const { return fmt::format("{}", value); }
  std::string operator()(bool value) const { return value ? "yes" : "no"; }
  std::string operator()(const Number& number) const { return to_text(number); }
  std::string operator()(const std::pair<Number, Number>& pair) const {
    return to_text(pair.first) + " " + to_text(pair.second);
  }
  std::string operator()(const std::vector<int>& list) const { return fmt::format("{}", fmt::join(list, " ")); }
  std::string operator()(const std::vector<std::string>& list) const { return as_utf8(joined(list, "; ")); }
  std::string operator()(const std::vector<std::optional<Number>>& list) const {
    std::vector<std::string> texts;
    for (const auto& number : list) texts.push_back(number ? to_text(*number) : "");
    return joined(texts, " ");
  }
};

struct ToJson {
  Json operator()(std::monostate) const { return nullptr; }
  Json operator()(const std::string& text) const { return as_utf8(text); }
  Json operator()(int value) const { return value; }
  Json operator()(bool value) const { return value; }
  Json operator()(const Number& number) const { return to_json(number); }
  Json operator()(const std::pair<Number, Number>& pair) const {
    return Json::array({to_json(pair.first), to_json(pair.second)});
  }
  Json operator()(const std::vector<int>& list) const { return list; }
  Json operator()(const std::vector<std::string>& list) const {
    Json array = Json::array();
    for (const std::string& text : list) array.push_back(as_utf8(text));
    return array;
  }
  Json operator()(const std::vector<std::optional<Number>>& list) const {
    Json array = Json::array();
    for (const auto& number : list) array.push_back(number ? to_json(*number) : Json());
    return array;
  }
};

}  // namespace

std::string to_text(const Number& number) {
  if (!std::isfinite(number.value)) return {};
  std::string text = fmt::format("{:.{}f}", number.value, number.decimals);
  if (text.front() == '-' && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
  return number.trimmed ? without_trailing_zeros(std::move(text)) : text;
}

Json to_json(const Number& number) {
  const std::string text = to_text(number);
  if (text.empty()) return nullptr;
  double rounded = 0;
  std::from_chars(text.data(), text.data() + text.size(), rounded);
  return rounded;
}

std::string to_text(const Cell& cell) {
  return std::visit(ToText{}, cell);
}

Json to_json(const Cell& cell) {
  return std::visit(ToJson{}, cell);
}

std::string as_utf8(std::string_view text) {
  std::string safe;
  while (!text.empty()) {
    const auto is_ascii_control = [](char c) { return (c >= 0 && c < 0x20) || c == 0x7F; };
    std::size_t plain = 0;
    while (plain < text.size() && !is_ascii_control(text[plain])) ++plain;
    safe += display_name(text.substr(0, plain));
    if (plain < text.size()) safe += text[plain++];
    text.remove_prefix(plain);
  }
  return safe;
}

std::string csv_cell(const Cell& cell) {
  std::string text = to_text(cell);
  if (is_text(cell) && would_be_run(text)) text.insert(0, 1, '\'');
  if (text.find_first_of("\",\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + '"';
}

}  // namespace firmus::report
