#include "singing_levels.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <optional>

namespace firmus::evidence {
namespace {

constexpr float clear_peak = 0.8F;         // NSDF: voices and strings are above, noise is below
constexpr float within_loudest_db = 40;    // of the loudest frame: neither reverberation nor a sound next door
constexpr std::size_t least_frames = 10;   // 50 ms in a row
constexpr std::size_t margin_frames = 60;  // 0.3 s
constexpr float digital_silence_db = -95;

struct Frames {
  std::size_t begin = 0, end = 0;
};

std::optional<Frames> sounding_frames(const Evidence& evidence) {
  std::optional<Frames> sounding;
  if (evidence.frames() == 0) return sounding;
  const float least_db = *std::ranges::max_element(evidence.level_db) - within_loudest_db;
  std::size_t run = 0;
  for (std::size_t i = 0; i < evidence.frames(); ++i) {
    const auto candidates = evidence.at(i);
    const bool is_clear =
        !candidates.empty() && candidates.front().nsdf_peak >= clear_peak && evidence.level_db[i] >= least_db;
    run = is_clear ? run + 1 : 0;
    if (run < least_frames) continue;
    if (!sounding) sounding = Frames{i + 1 - run, i + 1};
    sounding->end = i + 1;
  }
  return sounding;
}

}  // namespace

std::vector<float> levels_of_singing(const Evidence& evidence) {
  const auto sounding = sounding_frames(evidence);
  if (!sounding) return evidence.level_db;
  const std::size_t begin = sounding->begin - std::min(sounding->begin, margin_frames),
                    end = std::min(sounding->end + margin_frames, evidence.frames());
  std::vector<float> levels;
  std::copy_if(evidence.level_db.begin() + static_cast<std::ptrdiff_t>(begin),
               evidence.level_db.begin() + static_cast<std::ptrdiff_t>(end), std::back_inserter(levels),
               [](float level) { return level >= digital_silence_db; });
  return levels.empty() ? evidence.level_db : levels;
}

}  // namespace firmus::evidence
