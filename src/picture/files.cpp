#include <fmt/format.h>

#include <charconv>
#include <vector>

#include "firmus/picture.hpp"
#include "theme.hpp"

namespace firmus {
namespace {

void replace_all(std::string& text, std::string_view from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
}

/// Ids, and the references to them, begin with `prefix`. Quotes in text are escaped: these stand in tags alone.
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

struct Part {
  double from_y = 0;
  std::string_view body;
};

/// The body in parts, as Svg::part left them.
std::vector<Part> parts_of(std::string_view body) {
  constexpr std::string_view mark = "<!--part ", mark_end = "-->\n";
  std::vector<Part> parts{{0, body}};
  for (std::size_t at = body.find(mark); at != std::string_view::npos; at = body.find(mark)) {
    const std::size_t end = body.find(mark_end, at);
    if (end == std::string_view::npos) break;
    parts.back().body = body.substr(0, at);
    double y = 0;
    std::from_chars(body.data() + at + mark.size(), body.data() + end, y);
    body.remove_prefix(end + mark_end.size());
    parts.push_back({y, body});
  }
  return parts;
}

double height_of(std::string_view opening) {
  constexpr std::string_view name = " height=\"";
  double height = 0;
  if (const std::size_t at = opening.find(name); at != std::string_view::npos)
    std::from_chars(opening.data() + at + name.size(), opening.data() + opening.size(), height);
  return height;
}

/// The legend is no part of its own: it goes with the first row.
std::vector<Part> with_legend(std::vector<Part> parts) {
  if (parts.size() < 2) return parts;
  const char* end = parts[1].body.data() + parts[1].body.size();
  parts[0].body = {parts[0].body.data(), static_cast<std::size_t>(end - parts[0].body.data())};
  parts.erase(parts.begin() + 1);
  return parts;
}

}  // namespace

std::string as_svg_file(std::string_view picture) {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + std::string(picture);
}

std::string as_inline_svg(std::string_view picture, std::string_view prefix) {
  constexpr std::string_view closing = "</svg>\n";
  const std::size_t start = picture.find("<svg ");
  if (start == std::string_view::npos || !picture.ends_with(closing)) return {};
  const std::string svg = with_prefix(std::string(picture.substr(start)), std::string(prefix));
  const std::string_view all(svg);
  const std::size_t body = all.find(">\n") + 2;
  const double height = height_of(all.substr(0, body));
  const std::vector<Part> parts = with_legend(parts_of(all.substr(body, all.size() - body - closing.size())));
  if (parts.size() == 1) return svg;
  std::string inlined;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const double to_y = i + 1 < parts.size() ? parts[i + 1].from_y : height;
    const std::size_t names = all.find(" role=");
    inlined += fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 {0:.1f} {1} {2:.1f}\" width=\"{1}\" "
        "height=\"{2:.1f}\"{3}{4}</svg>\n",
        parts[i].from_y, picture::width_px, to_y - parts[i].from_y,
        i == 0 ? std::string(all.substr(names, body - names))
               : std::string(" aria-hidden=\"true\" font-family=\"sans-serif\">\n"),
        parts[i].body);
  }
  return inlined;
}

}  // namespace firmus
