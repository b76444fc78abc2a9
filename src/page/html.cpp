#include "html.hpp"

#include <fmt/format.h>

#include "base/markup.hpp"
#include "base64.hpp"
#include "embedded.hpp"
#include "firmus/picture.hpp"
#include "firmus/report.hpp"

namespace firmus::page {
namespace {

/// "p.lead" -> {"p", " class=\"lead\""}
std::pair<std::string, std::string> element_and_class(std::string_view element) {
  const std::size_t dot = element.find('.');
  if (dot == std::string_view::npos) return {std::string(element), ""};
  return {std::string(element.substr(0, dot)), fmt::format(" class=\"{}\"", element.substr(dot + 1))};
}

std::string cell_markup(const TableCell& cell) {
  const bool is_markup = cell.kind == TableCell::Kind::row_head_markup;
  const std::string text = is_markup ? cell.text : markup_escaped(cell.text);
  switch (cell.kind) {
    case TableCell::Kind::row_head:
    case TableCell::Kind::row_head_markup:
      return fmt::format("<th scope=\"row\"{}>{}</th>", cell.attributes, text);
    case TableCell::Kind::figure:
      return fmt::format("<td class=\"figure\"{}>{}</td>", cell.attributes, text);
    case TableCell::Kind::words:
      break;
  }
  return fmt::format("<td{}>{}</td>", cell.attributes, text);
}

}  // namespace

void Html::heading(int level, std::string_view text) {
  body_ += fmt::format("<h{0}>{1}</h{0}>\n", level, markup_escaped(text));
}

void Html::text(std::string_view element, std::string_view words) {
  const auto [name, attributes] = element_and_class(element);
  body_ += fmt::format("<{0}{1}>{2}</{0}>\n", name, attributes, markup_escaped(words));
}

void Html::begin(std::string_view element, std::string_view attributes) {
  const auto [name, of_class] = element_and_class(element);
  body_ += fmt::format("<{}{}{}>\n", name, of_class, attributes);
}

void Html::end(std::string_view element) {
  body_ += fmt::format("</{}>\n", element_and_class(element).first);
}

void Html::facts(const std::vector<std::pair<std::string, std::string>>& rows) {
  if (rows.empty()) return;
  begin("dl");
  for (const auto& [label, words] : rows)
    body_ += fmt::format("<div><dt>{}</dt><dd>{}</dd></div>\n", markup_escaped(label), markup_escaped(words));
  end("dl");
}

void Html::list(const std::vector<std::string>& items) {
  if (items.empty()) return;
  begin("ul");
  for (const std::string& item : items) text("li", item);
  end("ul");
}

void add_table(Html& html, std::string_view caption, const std::vector<TableCell>& headers,
               const std::vector<TableRow>& rows) {
  html.begin("div.wide", fmt::format(" tabindex=\"0\" role=\"group\" aria-label=\"{}\"", markup_escaped(caption)));
  html.begin("table");
  html.text("caption", caption);
  html.raw("<thead><tr>");
  for (const TableCell& head : headers)
    html.raw(fmt::format("<th scope=\"col\"{}{}>{}</th>",
                         head.kind == TableCell::Kind::figure ? " class=\"figure\"" : "", head.attributes,
                         markup_escaped(head.text)));
  html.raw("</tr></thead>\n<tbody>\n");
  for (const TableRow& row : rows) {
    html.raw(fmt::format("<tr{}>", row.attributes));
    for (const TableCell& cell : row.cells) html.raw(cell_markup(cell));
    html.raw("</tr>\n");
  }
  html.raw("</tbody>\n");
  html.end("table");
  html.end("div");
}

void add_figure(Html& html, std::string_view picture, std::string_view prefix, std::string_view caption) {
  if (picture.empty()) return;
  html.begin("figure");
  html.begin("div.wide", fmt::format(" tabindex=\"0\" role=\"group\" aria-label=\"{}\"", markup_escaped(caption)));
  html.raw(as_inline_svg(picture, prefix));
  html.end("div");
  html.text("figcaption", caption);
  html.end("figure");
}

std::string whole_page(std::string_view title, const Html& html) {
  const std::string script =
      html.uses_script() ? fmt::format("<script>{}</script>\n", note_player_script) : std::string();
  const std::string script_policy = html.uses_script() ? "; script-src " + policy_hash(note_player_script) : "";
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src {}{}\"/>\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
      "<meta name=\"generator\" content=\"firmus {}\"/>\n<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n"
      "{}{}</body>\n</html>\n",
      policy_hash(stylesheet), script_policy, program_version(), markup_escaped(title), stylesheet, html.body(),
      script);
}

}  // namespace firmus::page
