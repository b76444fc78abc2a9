#include "svg.hpp"

#include <fmt/format.h>

#include "base/markup.hpp"

namespace firmus::picture {
namespace {

std::string stroke_attributes(const Svg::Stroke& stroke) {
  if (stroke.colour.empty()) return {};
  std::string text = fmt::format(" stroke=\"{}\" stroke-width=\"{}\"", stroke.colour, px(stroke.width));
  if (!stroke.dashes.empty()) text += fmt::format(" stroke-dasharray=\"{}\"", stroke.dashes);
  return text;
}

std::string_view anchor_name(Anchor anchor) {
  switch (anchor) {
    case Anchor::start:
      return "start";
    case Anchor::middle:
      return "middle";
    case Anchor::end:
      return "end";
  }
  return {};
}

}  // namespace

std::string px(double value) {
  std::string text = fmt::format("{:.1f}", value);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text == "-0" ? "0" : text;
}

void Svg::text(double x, double y, std::string_view words, const TextStyle& style) {
  body_ += fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\" text-anchor=\"{}\"{}{}>{}</text>\n", px(x),
                       px(y), px(style.size), style.fill, anchor_name(style.anchor),
                       style.bold ? " font-weight=\"bold\"" : "", style.italic ? " font-style=\"italic\"" : "",
                       markup_escaped(words));
}

void Svg::line(double x1, double y1, double x2, double y2, const Stroke& stroke) {
  body_ += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>\n", px(x1), px(y1), px(x2), px(y2),
                       stroke_attributes(stroke));
}

void Svg::rect(double x, double y, double width, double height, std::string_view fill) {
  body_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"/>\n", px(x), px(y), px(width),
                       px(height), fill);
}

void Svg::path(std::string_view data, std::string_view fill, const Stroke& stroke) {
  if (data.empty()) return;
  body_ += fmt::format("<path d=\"{}\" fill=\"{}\"{}/>\n", data, fill, stroke_attributes(stroke));
}

void Svg::circle(double x, double y, double radius, std::string_view fill, const Stroke& stroke) {
  body_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\"{}/>\n", px(x), px(y), px(radius), fill,
                       stroke_attributes(stroke));
}

void Svg::begin_group(std::string_view attributes) {
  body_ += fmt::format("<g{}>\n", attributes);
}

void Svg::end_group() {
  body_ += "</g>\n";
}

void Svg::tooltip(std::string_view words) {
  body_ += fmt::format("<title>{}</title>\n", markup_escaped(words));
}

void Svg::page_break(double y) {
  body_ += fmt::format("<!--part {}-->\n", px(y));
}

std::string Svg::finish(double width, double height, std::string_view id, std::string_view title,
                        std::string_view description) const {
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" viewBox=\"0 0 {0} {1}\" width=\"{0}\" height=\"{1}\" "
      "role=\"img\" aria-labelledby=\"{2}-title {2}-desc\" font-family=\"sans-serif\">\n"
      "<title id=\"{2}-title\">{3}</title>\n<desc id=\"{2}-desc\">{4}</desc>\n"
      "<rect width=\"{0}\" height=\"{1}\" fill=\"#ffffff\"/>\n{5}</svg>\n",
      px(width), px(height), id, markup_escaped(title), markup_escaped(description), body_);
}

}  // namespace firmus::picture
