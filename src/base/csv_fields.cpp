#include "base/csv.hpp"
#include "base/utf8.hpp"

namespace firmus {
namespace {

using Row = std::vector<CsvField>;
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

class CsvSplitter {
 public:
  CsvSplitter(std::string_view text, char separator, Diagnostics& errors)
      : text_(text), separator_(separator), errors_(errors) {}

  std::vector<Row> split() {
    while (at_ < text_.size()) {
      read_field();
      if (at_ < text_.size() && text_[at_] == separator_) {
        step();
        if (at_ == text_.size()) row_.push_back({"", position()});
      } else {
        end_row();
      }
    }
    end_row();
    return std::move(rows_);
  }

 private:
  SourcePosition position() const { return {line_, column_}; }
  bool at_line_end() const { return at_ == text_.size() || text_[at_] == '\n' || text_[at_] == '\r'; }
  bool at_field_end() const { return at_line_end() || text_[at_] == separator_; }

  /// Advances by one byte, or by two at CR LF.
  void step() {
    const char c = text_[at_++];
    if (c == '\r' && at_ < text_.size() && text_[at_] == '\n') ++at_;
    if (c == '\n' || c == '\r') {
      ++line_;
      column_ = 1;
    } else if (!is_utf8_continuation(c)) {
      ++column_;
    }
  }

  void read_field() {
    while (!at_field_end() && is_space(text_[at_])) step();
    CsvField field{"", position()};
    if (!at_field_end() && text_[at_] == '"') {
      read_quoted(field);
    } else {
      const std::size_t begin = at_;
      // The column grows only at the first byte of a character, so stepping by bytes is correct.
      while (!at_field_end()) step();
      field.text = trimmed(text_.substr(begin, at_ - begin));
    }
    row_.push_back(std::move(field));
  }

  void read_quoted(CsvField& field) {
    step();
    while (true) {
      if (at_ == text_.size()) return errors_.add(field.position, "this quoted field never ends", "close it with \"");
      if (text_[at_] != '"') {
        const std::size_t begin = at_;
        step();
        field.text += text_.substr(begin, at_ - begin);
        continue;
      }
      step();
      if (at_ == text_.size() || text_[at_] != '"') break;
      step();
      field.text += '"';
    }
    field.text = trimmed(field.text);
    while (!at_field_end() && is_space(text_[at_])) step();
    if (at_field_end()) return;
    errors_.add(position(), "there is text behind the closing quote", "double a quote that belongs to the field: \"\"");
    while (!at_field_end()) step();
  }

  void end_row() {
    bool holds_anything = false;
    for (const CsvField& field : row_) holds_anything = holds_anything || !field.text.empty();
    if (holds_anything) rows_.push_back(std::move(row_));
    row_.clear();
    if (at_ < text_.size()) step();
  }

  std::string_view text_;
  char separator_;
  Diagnostics& errors_;
  std::size_t at_ = 0;
  int line_ = 1, column_ = 1;
  Row row_;
  std::vector<Row> rows_;
};

}  // namespace

std::vector<std::vector<CsvField>> split_csv(std::string_view text, char separator, Diagnostics& errors) {
  return CsvSplitter(text, separator, errors).split();
}

std::string_view without_byte_order_mark(std::string_view text) {
  if (text.starts_with(byte_order_mark)) text.remove_prefix(byte_order_mark.size());
  return text;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_space(text.back())) text.remove_suffix(1);
  return text;
}

}  // namespace firmus
