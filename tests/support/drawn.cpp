#include "drawn.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>
#include <stdexcept>

namespace firmus::drawn {
namespace {

constexpr double mean_letter = 0.6, bold_letter = 0.66;  // of the size
constexpr double ascent = 0.76, descent = 0.05;          // capitals and figures; few descenders reach a neighbour

int letters_of(const std::string& text) {
  return static_cast<int>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

Text text_of(const pugi::xml_node& node) {
  Text text{node.text().as_string(), {}};
  const double size = node.attribute("font-size").as_double(), x = node.attribute("x").as_double(),
               y = node.attribute("y").as_double();
  const bool bold = node.attribute("font-weight").as_string() == std::string("bold");
  const double width = letters_of(text.words) * size * (bold ? bold_letter : mean_letter);
  const std::string anchor = node.attribute("text-anchor").as_string();
  const double left = anchor == "middle" ? x - width / 2 : anchor == "end" ? x - width : x;
  text.box = {left, y - ascent * size, left + width, y + descent * size};
  return text;
}

/// sRGB channel to linear light.
double linear(int channel) {
  const double c = channel / 255.0;
  return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(const std::string& colour) {
  const auto channel = [&](std::size_t at) { return linear(std::stoi(colour.substr(at, 2), nullptr, 16)); };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

}  // namespace

pugi::xml_document parsed(const std::string& svg) {
  pugi::xml_document document;
  const pugi::xml_parse_result result = document.load_string(svg.c_str(), pugi::parse_full);
  if (!result) throw std::runtime_error(std::string("not well formed: ") + result.description());
  return document;
}

std::vector<Text> texts_of(const pugi::xml_document& svg) {
  std::vector<Text> texts;
  for (const auto& found : svg.select_nodes("//text")) texts.push_back(text_of(found.node()));
  return texts;
}

bool overlap(const Box& a, const Box& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

std::vector<std::string> overlapping(const std::vector<Text>& texts) {
  std::vector<std::string> pairs;
  for (std::size_t i = 0; i < texts.size(); ++i)
    for (std::size_t j = i + 1; j < texts.size(); ++j)
      if (overlap(texts[i].box, texts[j].box)) pairs.push_back(texts[i].words + " / " + texts[j].words);
  return pairs;
}

std::vector<std::string> cut_off(const pugi::xml_document& svg) {
  std::istringstream view(svg.child("svg").attribute("viewBox").as_string());
  double x = 0, y = 0, width = 0, height = 0;
  view >> x >> y >> width >> height;
  std::vector<std::string> cut;
  for (const Text& text : texts_of(svg))
    if (text.box.left < x || text.box.right > x + width || text.box.top < y || text.box.bottom > y + height)
      cut.push_back(text.words);
  return cut;
}

double contrast(const std::string& one, const std::string& other) {
  const double a = luminance(one), b = luminance(other);
  return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

}  // namespace firmus::drawn
