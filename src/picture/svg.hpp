// An SVG writer: elements in the order of the calls, numbers with one decimal, text escaped.
#pragma once
#include <string>
#include <string_view>

namespace firmus::picture {

/// One decimal, without ".0" and "-0": precise enough for a screen, and the same bytes on every machine.
std::string px(double value);

enum class Anchor { start, middle, end };

/// `size` is in px of the viewBox.
struct TextStyle {
  double size = 11;
  std::string_view fill;
  Anchor anchor = Anchor::middle;
  bool bold = false;
  bool italic = false;
};

class Svg {
 public:
  /// A stroke and, optionally, dashes ("3 2").
  struct Stroke {
    std::string_view colour;
    double width = 1;
    std::string_view dashes = {};
  };

  void text(double x, double y, std::string_view words, const TextStyle& style);
  void line(double x1, double y1, double x2, double y2, const Stroke& stroke);
  void rect(double x, double y, double width, double height, std::string_view fill);
  void path(std::string_view data, std::string_view fill, const Stroke& stroke);
  void circle(double x, double y, double radius, std::string_view fill, const Stroke& stroke);
  /// `attributes` are written unescaped: ` id="note-3"`.
  void begin_group(std::string_view attributes);
  void end_group();
  /// Shown while the pointer rests on the group (an SVG <title>).
  void tooltip(std::string_view words);

  /// Between what is drawn before and after, at `y`, the picture may be divided over two printed pages.
  void page_break(double y);

  /// The whole element. The ids of its title and its description begin with `id`.
  std::string finish(double width, double height, std::string_view id, std::string_view title,
                     std::string_view description) const;

 private:
  std::string body_;
};

}  // namespace firmus::picture
