// An HTML writer: elements in the order of the calls, all text escaped; tables, figures, and the frame of a page.
#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace firmus::page {

class Html {
 public:
  /// Markup, written unescaped.
  void raw(std::string_view markup) { body_ += markup; }
  void heading(int level, std::string_view text);
  /// `element` may name a class: "p.lead".
  void text(std::string_view element, std::string_view words);
  void begin(std::string_view element, std::string_view attributes = {});
  void end(std::string_view element);
  /// A definition list (<dl>): labels and texts.
  void facts(const std::vector<std::pair<std::string, std::string>>& rows);
  void list(const std::vector<std::string>& items);
  /// Marks the page as one that needs the script that plays notes.
  void use_script() { uses_script_ = true; }
  bool uses_script() const { return uses_script_; }
  const std::string& body() const { return body_; }

 private:
  std::string body_;
  bool uses_script_ = false;
};

/// A cell of a table. Its text is escaped except for row_head_markup; `attributes` are written unescaped.
struct TableCell {
  std::string text;
  enum class Kind { words, figure, row_head, row_head_markup } kind = Kind::words;
  std::string attributes = {};
};

struct TableRow {
  std::vector<TableCell> cells;
  std::string attributes = {};
};

/// A table with a caption, in a box that scrolls when the table is too wide, by keyboard too.
void add_table(Html& html, std::string_view caption, const std::vector<TableCell>& headers,
               const std::vector<TableRow>& rows);

/// A picture (SVG) with its caption; nothing when `picture` is empty. All ids of the picture begin with `prefix`.
void add_figure(Html& html, std::string_view picture, std::string_view prefix, std::string_view caption);

/// The page with head, policy, style and, where used, script. The policy allows these two alone, by their hashes.
std::string whole_page(std::string_view title, const Html& html);

}  // namespace firmus::page
