// The lines of an ABC file, and the tunes among them.
#include <algorithm>

#include "abc.hpp"
#include "common.hpp"

namespace firmus::score {
namespace {

constexpr bool is_letter(char c) {
  return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/// The letter of a field, '+' or 0. "G:|" is the end of a line of music.
char field_of(std::string_view line) {
  if (line.size() < 2 || line[1] != ':' || !(is_letter(line[0]) || line[0] == '+')) return 0;
  return line.size() > 2 && (line[2] == '|' || line[2] == ':') ? '\0' : line[0];
}

/// Up to a % that is not escaped.
std::string_view without_abc_comment(std::string_view line) {
  for (std::size_t at = line.find('%'); at != std::string_view::npos; at = line.find('%', at + 1))
    if (at == 0 || line[at - 1] != '\\') return line.substr(0, at);
  return line;
}

std::vector<std::string_view> lines_of(std::string_view text) {
  std::vector<std::string_view> lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    lines.push_back(text.substr(0, end));
    text.remove_prefix(std::min(end + (text.substr(end).starts_with("\r\n") ? 2 : 1), text.size()));
  }
  return lines;
}

}  // namespace

bool looks_like_abc(std::string_view text) {
  if (text.starts_with("%abc")) return true;
  bool numbered = false;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    const std::string_view line = text.substr(0, end);
    if (line.starts_with("X:")) numbered = true;
    if (numbered && line.starts_with("K:")) return true;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return false;
}

std::vector<AbcTune> abc_tunes(std::string_view text) {
  std::vector<AbcTune> tunes;
  std::vector<AbcLine> file_header;
  bool in_header = false;
  for (const std::string_view raw : lines_of(text)) {
    const std::string_view line = without_abc_comment(raw);
    if (stripped(line).empty()) {
      // An empty line ends a tune; one that holds only a comment does not.
      if (stripped(raw).empty() && !tunes.empty()) in_header = false;
      continue;
    }
    const char kind = field_of(line);
    const std::string value(stripped(kind ? line.substr(2) : line));
    if (kind == 'X') {
      tunes.push_back({value, {}, file_header, {}});
      in_header = true;
      continue;
    }
    if (tunes.empty()) {
      if (kind) file_header.push_back({kind, value});
      continue;
    }
    AbcTune& tune = tunes.back();
    if (!in_header) {
      tune.body.push_back({kind, value});
      continue;
    }
    if (kind == 'T' && tune.title.empty()) tune.title = one_line(value);
    if (kind) tune.header.push_back({kind, value});
    if (kind == 'K') in_header = false;
  }
  return tunes;
}

}  // namespace firmus::score
