#include "xml_document.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common.hpp"

namespace firmus::score {

void load_xml(pugi::xml_document& document, std::string_view bytes, const std::string& file) {
  const pugi::xml_parse_result result =
      document.load_buffer(bytes.data(), bytes.size(), pugi::parse_default | pugi::parse_doctype);
  if (!result) {
    const auto offset = std::min(bytes.size(), static_cast<std::size_t>(std::max<std::ptrdiff_t>(result.offset, 0)));
    const auto line = 1 + std::count(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(offset), '\n');
    refuse_score(file, fmt::format("is damaged XML: {} in line {}", lower_ascii(result.description()), line),
                 "export the score again");
  }
  for (const pugi::xml_node& node : document.children())
    if (node.type() == pugi::node_doctype && std::string_view(node.value()).find("<!ENTITY") != std::string_view::npos)
      refuse_score(file, "declares XML entities, which are not read", "export the score again as MusicXML");
}

std::string_view child_text(const pugi::xml_node& node, const char* name) {
  return stripped(node.child(name).text().get());
}

bool has_child(const pugi::xml_node& node, const char* name) {
  return !node.child(name).empty();
}

bool says_yes(const pugi::xml_node& node, const char* name) {
  return std::string_view(node.attribute(name).value()) == "yes";
}

}  // namespace firmus::score
