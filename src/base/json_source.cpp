#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <variant>
#include <vector>

#include "base/base.hpp"
#include "base/json_in.hpp"

namespace firmus {
namespace {

using Json = nlohmann::ordered_json;
using Step = std::variant<std::string, std::size_t>;  // a key of an object, an index of an array

constexpr std::size_t largest_bytes = 16 << 20;
constexpr int deepest = 64;
constexpr std::string_view json_byte_order_mark = "\xEF\xBB\xBF";

SourceLocation place_at(std::string_view text, std::size_t offset, const std::string& file) {
  std::size_t begin = text.starts_with(json_byte_order_mark) ? json_byte_order_mark.size() : 0;
  int line = 1;
  for (std::size_t i = begin; i < offset; ++i) {
    if (text[i] != '\n' && (text[i] != '\r' || text.substr(i + 1, 1) == "\n")) continue;
    ++line;
    begin = i + 1;
  }
  return {file, line, 1 + code_points(text.substr(begin, std::max(begin, offset) - begin))};
}

/// The end of the string that begins at `at`; the end of the text if the string is not closed.
std::size_t end_of_string(std::string_view text, std::size_t at) {
  for (++at; at < text.size() && text[at] != '"'; ++at)
    if (text[at] == '\\') ++at;
  return std::min(at + 1, text.size());
}

/// The offset of the bracket that exceeds the nesting limit. The text need not be valid JSON.
std::optional<std::size_t> too_deep(std::string_view text) {
  int depth = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"') i = end_of_string(text, i) - 1;
    if ((c == '{' || c == '[') && ++depth > deepest) return i;
    if (c == '}' || c == ']') --depth;
  }
  return std::nullopt;
}

/// Walks through text that is valid JSON.
class Walk {
 public:
  explicit Walk(std::string_view text) : text_(text) {
    if (text_.starts_with(json_byte_order_mark)) at_ = json_byte_order_mark.size();
    skip_space();
  }
  std::size_t offset() const { return at_; }

  struct Key {
    std::string name;
    std::size_t offset;
  };
  /// The keys of the object at the current offset.
  std::vector<Key> keys() {
    std::vector<Key> found;
    ++at_;  // the brace
    skip_space();
    while (text_[at_] != '}') {
      const std::size_t begin = at_;
      found.push_back({read_key(), begin});
      skip_element();
    }
    return found;
  }

  void enter(const Step& step) {
    ++at_;  // the bracket
    skip_space();
    if (const auto* key = std::get_if<std::string>(&step)) {
      enter_member(*key);
    } else {
      for (std::size_t i = 0; i < std::get<std::size_t>(step); ++i) skip_element();
    }
  }

 private:
  /// Of several members with the same key the last one counts.
  void enter_member(const std::string& wanted) {
    std::size_t found = at_;
    while (text_[at_] != '}') {
      if (read_key() == wanted) found = at_;
      skip_element();
    }
    at_ = found;
  }
  /// Reads a key and moves to its value.
  std::string read_key() {
    const std::size_t begin = at_;
    at_ = end_of_string(text_, at_);
    std::string key = Json::parse(text_.substr(begin, at_ - begin)).get<std::string>();
    skip_space();
    ++at_;  // the colon
    skip_space();
    return key;
  }
  void skip_element() {
    int depth = 0;
    do {
      const char c = text_[at_];
      if (c == '{' || c == '[') ++depth;
      if (c == '}' || c == ']') --depth;
      at_ = c == '"' ? end_of_string(text_, at_) : at_ + 1;
    } while (depth > 0 || !ends_element());
    skip_space();
    if (text_[at_] == ',') ++at_;
    skip_space();
  }
  bool ends_element() const { return std::string_view(",]} \t\r\n").find(text_[at_]) != std::string_view::npos; }
  void skip_space() {
    while (at_ < text_.size() && std::string_view(" \t\r\n").find(text_[at_]) != std::string_view::npos) ++at_;
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

/// The steps from `from` to `value`, which is found by its address; false when it is not part of `from`.
bool find_steps(const Json& from, const Json& value, std::vector<Step>& steps) {
  if (&from == &value) return true;
  if (!from.is_structured()) return false;
  std::size_t number = 0;
  for (const auto& item : from.items()) {
    steps.push_back(from.is_object() ? Step(item.key()) : Step(number++));
    if (find_steps(item.value(), value, steps)) return true;
    steps.pop_back();
  }
  return false;
}

/// Describes the text at the offset where parsing fails.
std::string what_is_there(std::string_view text, std::size_t offset) {
  constexpr std::size_t most_shown = 12;
  if (offset >= text.size()) return "the JSON ends too early";
  const std::size_t end = std::min(text.find_first_of(" \t\r\n", offset + 1), text.size());
  return fmt::format("this is no JSON: \"{}\"", text.substr(offset, std::min(end - offset, most_shown)));
}

}  // namespace

JsonSource::JsonSource(std::string_view text, std::string file, std::string wanted)
    : text_(text), file_(std::move(file)), wanted_(std::move(wanted)) {
  const auto fail = [&](std::size_t offset, std::string what) {
    throw InputError(Problem{place_at(text_, offset, file_), std::move(what), wanted_});
  };
  if (text_.size() > largest_bytes) throw InputError(Problem{{file_, 0, 0}, "is larger than 16 MiB", wanted_});
  if (const auto offset = too_deep(text_)) fail(*offset, fmt::format("is nested deeper than {}", deepest));
  try {
    root_ = std::make_unique<Json>(Json::parse(text_));
  } catch (const Json::parse_error& error) {
    const std::size_t offset = error.byte > 0 ? error.byte - 1 : 0;
    fail(offset, what_is_there(text_, offset));
  } catch (const Json::out_of_range&) {
    throw InputError(Problem{{file_, 0, 0}, "holds a number that is too large", wanted_});
  }
}

JsonSource::~JsonSource() = default;

SourceLocation JsonSource::place_of(const Json& value) const {
  std::vector<Step> steps;
  find_steps(*root_, value, steps);
  Walk walk(text_);
  for (const Step& step : steps) walk.enter(step);
  return place_at(text_, walk.offset(), file_);
}

std::vector<JsonKey> JsonSource::keys_of(const Json& object) const {
  std::vector<Step> steps;
  find_steps(*root_, object, steps);
  Walk walk(text_);
  for (const Step& step : steps) walk.enter(step);
  std::vector<JsonKey> keys;
  for (auto& [name, offset] : walk.keys()) keys.push_back({std::move(name), place_at(text_, offset, file_)});
  return keys;
}

std::string JsonSource::path_of(const Json& value) const {
  std::vector<Step> steps;
  find_steps(*root_, value, steps);
  std::string path;
  for (const Step& step : steps) {
    const auto* key = std::get_if<std::string>(&step);
    path += key ? (path.empty() ? "" : ".") + *key : fmt::format("[{}]", std::get<std::size_t>(step));
  }
  return path;
}

}  // namespace firmus
