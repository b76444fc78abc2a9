// ABC notation: see score_line.hpp.
#include <string>

#include "score_line.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  firmus::fuzz::read_score_line(bytes.find("X:") < bytes.size() ? std::string(bytes)
                                                                : "X:1\nM:4/4\nL:1/4\nK:C\n" + std::string(bytes));
  return 0;
}
