// How wide a text is set, roughly and rather too wide than too narrow: for keeping labels apart.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace firmus::picture {

/// Width in px at `size` px. Advance widths of DejaVu Sans, one of the widest of the usual sans-serif faces; bold is a
/// tenth wider.
double text_width(std::string_view text, double size, bool bold = false);

/// The words in lines of at most `width` px; a longer word has a line of its own, cut short.
std::vector<std::string> lines_within(std::string_view text, double width, double size);

/// The text, cut short with "..." where it is wider than `width` px.
std::string cut_to(std::string_view text, double width, double size);

}  // namespace firmus::picture
