#include <algorithm>

#include "firmus/audio.hpp"
#include "spill_buffer.hpp"

namespace firmus {

void Samples::read(std::int64_t begin, std::span<float> out) const {
  const auto wanted = static_cast<std::int64_t>(out.size());
  const std::int64_t lead = std::clamp<std::int64_t>(begin < 0 ? -begin : 0, 0, wanted);
  const std::int64_t from = std::clamp<std::int64_t>(begin, 0, size());
  const std::int64_t count = std::clamp<std::int64_t>(size() - from, 0, wanted - lead);
  std::fill_n(out.begin(), lead, 0.0F);
  const std::int64_t of_file = std::clamp<std::int64_t>(in_file_ - from, 0, count);
  if (of_file > 0) file_->read(from, out.subspan(static_cast<std::size_t>(lead), static_cast<std::size_t>(of_file)));
  std::copy_n(values_.begin() + std::max<std::int64_t>(from - in_file_, 0), count - of_file,
              out.begin() + lead + of_file);
  std::fill(out.begin() + lead + count, out.end(), 0.0F);
}

}  // namespace firmus
