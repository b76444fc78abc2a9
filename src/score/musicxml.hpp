// MusicXML 4.0 (W3C Music Notation Community Group, 2021) and earlier versions, partwise and timewise.
#pragma once
#include <string>
#include <string_view>

#include "score.hpp"

namespace firmus::score {

Score read_musicxml(std::string_view bytes, const std::string& file);

/// The score inside a compressed file (.mxl): the first root file that META-INF/container.xml names. Nothing is
/// written; names that leave the archive and contents beyond largest_unpacked_bytes are refused.
std::string unpacked_musicxml(std::string_view bytes, const std::string& file);

}  // namespace firmus::score
