// Whether a file is shorter than its header says. libsndfile quietly takes a cut file as if it had been meant so; this
// reads the sizes itself.
#pragma once
#include <cstdint>
#include <optional>

#include "bytes.hpp"

namespace firmus::audio {

/// The block of samples in a file: how long the header says it is, and how much of it there is.
struct DataBlock {
  std::int64_t declared_bytes;
  std::int64_t present_bytes;
};

/// For WAV, RF64, AIFF, CAF and AU. None for other files, for damaged ones, and where the header leaves the size open
/// (a recording written to a pipe: 0, 0xFFFFFFFF or nearly).
std::optional<DataBlock> data_block(const Bytes& bytes);

/// An Ogg file whose last page is not marked as the last (RFC 3533, section 6).
bool ogg_ends_early(const Bytes& bytes);

}  // namespace firmus::audio
