#include "values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>

#include "arguments.hpp"
#include "firmus/studio.hpp"

namespace firmus::cli {
namespace {

std::string quoted(std::string_view text) {
  return fmt::format("\"{}\"", text);
}

std::optional<double> finite_number(std::string_view text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

/// "12,5" -> "write 12.5"; else the limits.
std::string remedy_for(std::string_view text, const Limits& limits) {
  std::string pointed(text);
  std::replace(pointed.begin(), pointed.end(), ',', '.');
  if (pointed != text && finite_number(pointed)) return "write " + pointed;
  return fmt::format("give a number {} {:g} {} {:g}", limits.above_lowest ? "above" : "from", limits.lowest,
                     limits.above_lowest ? "and up to" : "to", limits.highest);
}

}  // namespace

double number_value(std::string_view option, std::string_view text, const Limits& limits) {
  const auto value = finite_number(text);
  if (!value) usage_error(fmt::format("{}: {} is not a number", option, quoted(text)), remedy_for(text, limits));
  if (*value > limits.highest || *value < limits.lowest || (limits.above_lowest && *value == limits.lowest))
    usage_error(fmt::format("{}: {} is out of range", option, quoted(text)), remedy_for(text, limits));
  return *value + 0.0;  // no minus zero
}

int whole_value(std::string_view option, std::string_view text, int lowest, int highest) {
  const double value = number_value(option, text, {static_cast<double>(lowest), static_cast<double>(highest)});
  if (value != std::floor(value))
    usage_error(fmt::format("{}: {} is not a whole number", option, quoted(text)),
                fmt::format("give one from {} to {}", lowest, highest));
  return static_cast<int>(value);
}

std::size_t choice_value(std::string_view option, std::string_view text, std::span<const std::string_view> choices) {
  const auto at = std::find(choices.begin(), choices.end(), text);
  if (at == choices.end())
    usage_error(fmt::format("{}: {} is not known", option, quoted(text)),
                fmt::format("choose one of {}", fmt::join(choices, ", ")));
  return static_cast<std::size_t>(at - choices.begin());
}

std::string date_value(std::string_view option, std::string_view text) {
  if (!is_date(text))
    usage_error(fmt::format("{}: {} is not a date", option, quoted(text)), "write it as in 2031-05-17");
  return std::string(text);
}

std::string id_value(std::string_view option, std::string_view text) {
  constexpr std::string_view remedy =
      "give 1 to 64 bytes of UTF-8 without / \\ : * ? \" < > | and without a dot at the start";
  const std::string fault = fault_of_id(text);
  if (!fault.empty())
    usage_error(fmt::format("{}: {} cannot be an id: it {}", option, quoted(text), fault), std::string(remedy));
  return std::string(text);
}

SpelledPitch note_value(std::string_view option, std::string_view text) {
  const auto read = parse_pitch(text);
  if (const auto* pitch = std::get_if<SpelledPitch>(&read)) return *pitch;
  const auto& error = std::get<PitchNameError>(read);
  usage_error(fmt::format("{}: {}", option, error.what), error.remedy);
}

Key key_value(std::string_view option, std::string_view text) {
  const auto key = parse_key(text);
  if (!key)
    usage_error(fmt::format("{}: \"{}\" is not a key", option, text),
                "write a note and major, minor or a mode, such as \"G major\"");
  return *key;
}

BarRange bars_value(std::string_view option, std::string_view text) {
  const auto bars = parse_bar_range(text);
  if (!bars)
    usage_error(fmt::format("{}: {} is not a range of bars", option, quoted(text)),
                "write the first and the last, such as 9-16");
  return *bars;
}

std::string path_value(std::string_view option, std::string_view text) {
  if (text.empty()) usage_error(fmt::format("{}: the name is empty", option), "give the name of a file or folder");
  return std::string(text);
}

}  // namespace firmus::cli
