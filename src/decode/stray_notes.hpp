// Sounds that the search gave to a written note because it had no better use for them.
#pragma once
#include <vector>

#include "decode/decode.hpp"

namespace firmus::decode {

/// A note that is far from its written pitch, though not by octaves, and that fits its neighbours neither by intervals
/// (a low match confidence) nor in time becomes an extra; its written note was then not sung. A wrong note in its
/// place in the rhythm stays, however far off.
std::vector<DecodedNote> strays_to_extras(const Melody& melody, std::vector<DecodedNote> notes);

}  // namespace firmus::decode
