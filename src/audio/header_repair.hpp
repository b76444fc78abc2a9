// Files whose sizes are wrong in a way that is known and harmless, as if they were right.
#pragma once
#include <memory>

#include "bytes.hpp"

namespace firmus::audio {

/// The same bytes, with these sizes replaced:
/// - WAV: the size of the samples where it was never filled in (0, from a recorder that was killed) means "up to the
/// end";
/// - MP3: the byte count in a Xing or Info header is that of the file. The decoder under libsndfile would write a
/// complaint
///   about a file cut short to standard error; that frames are missing shows from the count of frames beside it.
std::unique_ptr<Bytes> repair_headers(std::unique_ptr<Bytes> bytes);

}  // namespace firmus::audio
