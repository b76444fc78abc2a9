// Writing HTML: elements one after another, all text escaped, and the frame that every page has.
#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace firmus::page {

class Html {
 public:
  /// Markup that is right already.
  void raw(std::string_view markup) { body_ += markup; }
  void heading(int level, std::string_view text);
  /// `element` may name a class: "p.lead".
  void text(std::string_view element, std::string_view words);
  void begin(std::string_view element, std::string_view attributes = {});
  void end(std::string_view element);
  /// A list of labels and texts.
  void facts(const std::vector<std::pair<std::string, std::string>>& rows);
  void list(const std::vector<std::string>& items);
  /// The page needs the script that sounds notes.
  void use_script() { uses_script_ = true; }
  bool uses_script() const { return uses_script_; }
  const std::string& body() const { return body_; }

 private:
  std::string body_;
  bool uses_script_ = false;
};

/// One cell of a table; its text is escaped, unless it is markup. `attributes` are written as they are.
struct TableCell {
  std::string text;
  enum class Kind { words, figure, row_head, row_head_markup } kind = Kind::words;
  std::string attributes = {};
};

struct TableRow {
  std::vector<TableCell> cells;
  std::string attributes = {};
};

/// A table with a caption, in a box of its own that scrolls where it is too wide, by keyboard too.
void add_table(Html& html, std::string_view caption, const std::vector<TableCell>& heads,
               const std::vector<TableRow>& rows);

/// A picture with its caption; nothing when there is no picture. `prefix` keeps the ids of several apart.
void add_figure(Html& html, std::string_view picture, std::string_view prefix, std::string_view caption);

/// The whole page.
std::string whole_page(std::string_view title, const Html& html);

}  // namespace firmus::page
