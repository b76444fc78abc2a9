// Corrects sizes in file headers that are wrong in known and harmless ways.
#pragma once
#include <memory>

#include "bytes.hpp"

namespace firmus::audio {

/// The same bytes with these sizes replaced:
/// - WAV: a data size of 0, never filled in because the recorder was killed, becomes "up to the end";
/// - MP3: the byte count in a Xing or Info header becomes that of the file. Otherwise the MP3 decoder of libsndfile
/// writes a message about a truncated file to standard error. The frame count in the same header still shows the
/// truncation.
std::unique_ptr<Bytes> repair_headers(std::unique_ptr<Bytes> bytes);

}  // namespace firmus::audio
