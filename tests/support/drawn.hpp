// Extracts texts with their bounding boxes, lines and marks from an SVG picture. Needs pugixml.
#pragma once
#include <pugixml.hpp>
#include <string>
#include <vector>

namespace firmus::drawn {

struct Box {
  double left = 0, top = 0, right = 0, bottom = 0;
};

struct Text {
  std::string words;
  Box box;  ///< widths by a mean letter of DejaVu Sans, a little narrower than the widest
};

/// Throws std::runtime_error when the SVG is not well formed.
pugi::xml_document parsed(const std::string& svg);

std::vector<Text> texts_of(const pugi::xml_document& svg);
bool overlap(const Box& a, const Box& b);
/// "words / words" of each pair of texts that overlap.
std::vector<std::string> overlapping(const std::vector<Text>& texts);
/// Texts that extend beyond the viewBox.
std::vector<std::string> cut_off(const pugi::xml_document& svg);

/// WCAG 2.1: contrast of two colours "#rrggbb", 1 to 21.
double contrast(const std::string& one, const std::string& other);

}  // namespace firmus::drawn
