#include "hum.hpp"

namespace firmus {

std::optional<Hum> find_hum(std::span<const float> samples) {
  (void)samples;
  return std::nullopt;
}

}  // namespace firmus
