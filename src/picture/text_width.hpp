// Estimated widths of texts, used to keep labels apart: too wide rather than too narrow.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace firmus::picture {

/// Width in px at a font size of `size` px, from the advance widths of DejaVu Sans, one of the widest common sans-serif
/// fonts. Bold counts as a tenth wider.
double text_width(std::string_view text, double size, bool bold = false);

/// The words of the text, wrapped into lines of at most `width` px. A longer word is shortened by cut_to.
std::vector<std::string> lines_within(std::string_view text, double width, double size);

/// The text; where it is wider than `width` px, its beginning with "...".
std::string cut_to(std::string_view text, double width, double size);

}  // namespace firmus::picture
