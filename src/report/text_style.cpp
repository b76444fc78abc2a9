#include <fmt/format.h>

#include <cmath>

#include "base/ascii.hpp"
#include "base/base.hpp"
#include "report/text_page.hpp"

namespace firmus::report {
namespace {

/// The text in lines of at most `columns` code points; a longer word is split.
std::vector<std::string> wrapped(std::string_view text, int columns) {
  std::vector<std::string> lines(1);
  for (std::string_view word : split_words(text)) {
    std::string piece = std::string(word);
    if (!lines.back().empty() && code_points(lines.back()) + 1 + code_points(piece) > columns) lines.emplace_back();
    while (code_points(piece) > columns) {
      const std::string head = prefix(piece, columns);
      lines.back() = head;
      lines.emplace_back();
      piece.erase(0, head.size());
    }
    lines.back() += (lines.back().empty() ? "" : " ") + piece;
  }
  return lines;
}

}  // namespace

std::string painted(std::string text, Tint tint, Colour colour) {
  if (colour == Colour::never || tint == Tint::none) return text;
  const int code = tint == Tint::sharp ? 208 : tint == Tint::flat ? 33 : 245;
  return fmt::format("\x1b[38;5;{}m{}\x1b[0m", code, text);
}

std::string counted(int count, std::string_view one, std::string_view many) {
  if (count == 1) return fmt::format("1 {}", one);
  return many.empty() ? fmt::format("{} {}s", count, one) : fmt::format("{} {}", count, many);
}

std::string clock_time(double seconds) {
  const auto tenths = static_cast<long long>(std::llround(seconds * 10));
  return fmt::format("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10);
}

std::string clock_length(double seconds) {
  const auto whole = static_cast<long long>(std::llround(seconds));
  return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::string cents_off(double cents) {
  const auto whole = std::llround(std::fabs(cents));
  if (whole == 0) return "0 cents";
  return fmt::format("{} {} {}", whole, whole == 1 ? "cent" : "cents", cents < 0 ? "flat" : "sharp");
}

std::string signed_cents(double cents) {
  const auto whole = std::llround(cents);
  return whole == 0 ? "0" : fmt::format("{:+}", whole);
}

Tint tint_of(double cents) {
  return cents < 0 ? Tint::flat : Tint::sharp;
}

std::string listed(const std::vector<std::string>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? " and " : ", ";
    text += parts[i];
  }
  return text;
}

std::string prefix(std::string_view text, int columns) {
  return std::string(first_code_points(text, columns));
}

std::string file_of(std::string_view path) {
  return display_name(path.substr(path.rfind('/') + 1));  // npos + 1 is 0
}

std::string shortened(std::string_view text, int columns) {
  if (code_points(text) <= columns) return std::string(text);
  return columns < 3 ? prefix(text, columns) : prefix(text, columns - 3) + "...";
}

std::string padded(std::string_view text, int columns) {
  std::string filled(text);
  filled.append(static_cast<std::size_t>(std::max(0, columns - code_points(text))), ' ');
  return filled;
}

namespace {

/// Rows with a hanging indent: `first` before the first row, `others` before the others.
std::vector<std::string> hanging(std::vector<std::string> rows, const std::string& first, const std::string& others) {
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].insert(0, i == 0 ? first : others);
  return rows;
}

std::vector<std::string> item_rows(const std::string& text, Tint tint, Colour colour) {
  constexpr int indent = 4;
  std::vector<std::string> rows = wrapped(text, page_columns - indent);
  const std::size_t end = std::min(rows[0].find(' '), rows[0].size());
  rows[0] = painted(rows[0].substr(0, end), tint, colour) + rows[0].substr(end);
  return hanging(std::move(rows), "  ", std::string(indent, ' '));
}

std::vector<std::string> rows_of(const SummaryBlock& block, Tint tint, Colour colour) {
  switch (block.kind) {
    case SummaryBlock::Kind::labelled:
      return hanging(wrapped(block.text, page_columns - label_columns), padded(block.label, label_columns),
                     std::string(label_columns, ' '));
    case SummaryBlock::Kind::paragraph:
      return wrapped(block.text, page_columns);
    case SummaryBlock::Kind::item:
      return item_rows(block.text, tint, colour);
    case SummaryBlock::Kind::line:
    case SummaryBlock::Kind::gap:
      break;
  }
  return {block.text};
}

}  // namespace

void Page::add(SummaryBlock::Kind kind, std::string_view label, std::string_view text, Tint tint, Colour colour) {
  set_.push_back({{kind, std::string(label), std::string(text)}, tint, colour});
}

void Page::entry(std::string_view label, std::string_view text) {
  add(SummaryBlock::Kind::labelled, label, text);
}

void Page::paragraph(std::string_view text) {
  add(SummaryBlock::Kind::paragraph, {}, text);
}

void Page::item(std::string_view text, Tint tint, Colour colour) {
  add(SummaryBlock::Kind::item, {}, text, tint, colour);
}

void Page::line(std::string_view text) {
  add(SummaryBlock::Kind::line, {}, text);
}

void Page::gap() {
  if (!set_.empty() && set_.back().block.kind != SummaryBlock::Kind::gap) add(SummaryBlock::Kind::gap, {}, {});
}

std::string Page::text() const {
  std::string text;
  for (const auto& [block, tint, colour] : set_)
    for (const std::string& row : rows_of(block, tint, colour)) text += row + "\n";
  return text;
}

std::string set_in_columns(const std::vector<SummaryBlock>& blocks) {
  std::string text;
  for (const SummaryBlock& block : blocks)
    for (const std::string& row : rows_of(block, Tint::none, Colour::never)) text += row + "\n";
  return text;
}

std::vector<SummaryBlock> Page::blocks() const {
  std::vector<SummaryBlock> blocks;
  for (const SetBlock& set : set_) blocks.push_back(set.block);
  return blocks;
}

}  // namespace firmus::report
