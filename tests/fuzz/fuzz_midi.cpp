// Standard MIDI files: see score_line.hpp.
#include "score_line.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  if (bytes.starts_with("MThd")) firmus::fuzz::read_score_line(bytes);
  return 0;
}
