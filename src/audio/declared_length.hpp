// Whether a file is shorter than its header declares. libsndfile reads a truncated file without an error, so the sizes
// are read here.
#pragma once
#include <cstdint>
#include <optional>

#include "bytes.hpp"

namespace firmus::audio {

/// The block of samples in a file: its declared size, and how much of it is present.
struct DataBlock {
  std::int64_t declared_bytes;
  std::int64_t present_bytes;
};

/// For WAV, RF64, AIFF, CAF and AU. None for other formats, for damaged files, and where the size is unknown (a
/// recording written to a pipe: 0, 0xFFFFFFFF or nearly).
std::optional<DataBlock> data_block(const Bytes& bytes);

/// Whether this is an Ogg file whose last page lacks the end-of-stream flag (RFC 3533, section 6).
bool ogg_ends_early(const Bytes& bytes);

}  // namespace firmus::audio
