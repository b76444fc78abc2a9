#include "text_width.hpp"

#include <algorithm>
#include <array>

#include "base/utf8.hpp"

namespace firmus::picture {
namespace {

constexpr int first_code = 32;
/// Thousandths of an em, from space to ~, read from DejaVuSans.ttf 2.37 (table hmtx).
constexpr std::array<int, 95> thousandths{
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361,  318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635,  611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352,  635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592,  525, 636, 337, 636, 838};
constexpr int other_letter = 800;  ///< most accented, Greek and Cyrillic letters are narrower
constexpr int wide_letter = 1000;  ///< three bytes and more in UTF-8: East Asian characters fill an em

int thousandths_of(char byte) {
  if (is_utf8_continuation(byte)) return 0;  // part of the character before
  const auto lead = static_cast<unsigned char>(byte);
  if (lead >= first_code && lead < first_code + thousandths.size()) return thousandths[lead - first_code];
  return lead >= 0xE0 ? wide_letter : other_letter;
}

}  // namespace

double text_width(std::string_view text, double size, bool bold) {
  constexpr double bold_factor = 1.1;
  int sum = 0;
  for (const char c : text) sum += thousandths_of(c);
  return sum * size / 1000 * (bold ? bold_factor : 1);
}

std::string cut_to(std::string_view text, double width, double size) {
  if (text_width(text, size) <= width) return std::string(text);
  constexpr std::string_view dots = "...";
  std::string cut(text);
  while (!cut.empty() && text_width(cut, size) + text_width(dots, size) > width) {
    while (!cut.empty() && is_utf8_continuation(cut.back())) cut.pop_back();
    if (!cut.empty()) cut.pop_back();
  }
  return cut + std::string(dots);
}

std::vector<std::string> lines_within(std::string_view text, double width, double size) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const std::string word = cut_to(text.substr(0, end), width, size);
    const bool fits = !lines.empty() && text_width(lines.back() + " " + word, size) <= width;
    if (fits) {
      lines.back() += " " + word;
    } else if (!word.empty()) {
      lines.push_back(word);
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return lines;
}

}  // namespace firmus::picture
