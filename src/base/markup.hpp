// Escapes text for HTML, SVG and XML.
#pragma once
#include <string>
#include <string_view>

namespace firmus {

/// Text for an element or an attribute in double quotes: & < > " ' escaped; control characters, which XML forbids, and
/// invalid bytes become \xNN.
std::string markup_escaped(std::string_view text);

}  // namespace firmus
