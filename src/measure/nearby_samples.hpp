// Reads of samples that lie near each other, from one buffered piece: the temporary file of a long take is read once
// for many of them. Not thread-safe.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::measure {

class NearbySamples {
 public:
  /// `samples` must outlive it.
  explicit NearbySamples(const Samples& samples) : samples_(samples) {}

  /// Samples [begin, begin + count), 0 outside the take; valid until the next call.
  std::span<const float> read(std::int64_t begin, std::size_t count) {
    const auto end = begin + static_cast<std::int64_t>(count);
    if (begin < begin_ || end > begin_ + static_cast<std::int64_t>(piece_.size())) load(begin, count);
    return std::span<const float>(piece_).subspan(static_cast<std::size_t>(begin - begin_), count);
  }

 private:
  static constexpr std::size_t margin = 2048;  ///< on both sides: reads go forwards and backwards
  void load(std::int64_t begin, std::size_t count) {
    begin_ = begin - static_cast<std::int64_t>(margin);
    piece_.resize(count + 2 * margin);
    samples_.read(begin_, piece_);
  }

  const Samples& samples_;
  std::int64_t begin_ = 0;
  std::vector<float> piece_;
};

}  // namespace firmus::measure
