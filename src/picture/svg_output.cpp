#include <fmt/format.h>

#include <charconv>
#include <vector>

#include "firmus/picture.hpp"
#include "theme.hpp"

namespace firmus::picture {
namespace {

void replace_all(std::string& text, std::string_view from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
}

/// Puts `prefix` before all ids and the references to them. Quotes in text are escaped, so these patterns match in tags
/// only.
std::string with_prefix(std::string svg, const std::string& prefix) {
  constexpr std::string_view reference = "aria-labelledby=\"";
  replace_all(svg, " id=\"", " id=\"" + prefix);
  const std::size_t at = svg.find(reference);
  if (at == std::string::npos) return svg;
  const std::size_t begin = at + reference.size(), end = svg.find('"', begin);
  std::string ids = svg.substr(begin, end - begin);
  replace_all(ids, " ", " " + prefix);
  return svg.replace(begin, end - begin, prefix + ids);
}

/// What is drawn between two page breaks.
struct PageSlice {
  double top = 0;
  std::string_view body;
};

/// The body, divided at the marks of Svg::page_break.
std::vector<PageSlice> slices_of(std::string_view body) {
  constexpr std::string_view mark = "<!--part ", mark_end = "-->\n";
  std::vector<PageSlice> slices{{0, body}};
  for (std::size_t at = body.find(mark); at != std::string_view::npos; at = body.find(mark)) {
    const std::size_t end = body.find(mark_end, at);
    if (end == std::string_view::npos) break;
    slices.back().body = body.substr(0, at);
    double y = 0;
    std::from_chars(body.data() + at + mark.size(), body.data() + end, y);
    body.remove_prefix(end + mark_end.size());
    slices.push_back({y, body});
  }
  return slices;
}

double height_of(std::string_view opening) {
  constexpr std::string_view name = " height=\"";
  double height = 0;
  if (const std::size_t at = opening.find(name); at != std::string_view::npos)
    std::from_chars(opening.data() + at + name.size(), opening.data() + opening.size(), height);
  return height;
}

/// Joins the legend and the first row.
std::vector<PageSlice> with_legend(std::vector<PageSlice> slices) {
  if (slices.size() < 2) return slices;
  const char* end = slices[1].body.data() + slices[1].body.size();
  slices[0].body = {slices[0].body.data(), static_cast<std::size_t>(end - slices[0].body.data())};
  slices.erase(slices.begin() + 1);
  return slices;
}

/// The slices of a whole `svg` element, each an element of its own.
std::string sliced(std::string_view svg) {
  constexpr std::string_view closing = "</svg>\n";
  const std::size_t body = svg.find(">\n") + 2, names = svg.find(" role=");
  const double height = height_of(svg.substr(0, body));
  const std::vector<PageSlice> slices = with_legend(slices_of(svg.substr(body, svg.size() - body - closing.size())));
  if (slices.size() == 1) return std::string(svg);
  std::string elements;
  for (std::size_t i = 0; i < slices.size(); ++i) {
    const double bottom = i + 1 < slices.size() ? slices[i + 1].top : height;
    elements += fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 {0:.1f} {1} {2:.1f}\" width=\"{1}\" "
        "height=\"{2:.1f}\"{3}{4}</svg>\n",
        slices[i].top, width_px, bottom - slices[i].top,
        i == 0 ? svg.substr(names, body - names)
               : std::string_view(" aria-hidden=\"true\" font-family=\"sans-serif\">\n"),
        slices[i].body);
  }
  return elements;
}

}  // namespace
}  // namespace firmus::picture

namespace firmus {

std::string as_svg_file(std::string_view svg) {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + std::string(svg);
}

std::string as_inline_svg(std::string_view svg, std::string_view prefix) {
  const std::size_t start = svg.find("<svg ");
  if (start == std::string_view::npos || !svg.ends_with("</svg>\n")) return {};
  return picture::sliced(picture::with_prefix(std::string(svg.substr(start)), std::string(prefix)));
}

}  // namespace firmus
