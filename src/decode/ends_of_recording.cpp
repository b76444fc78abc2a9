// Where the notes of a recording end, and whether it is cut off within one.
#include <algorithm>

#include "base/frames.hpp"
#include "decode/decode.hpp"

namespace firmus {
namespace {

constexpr std::size_t frames_behind = 200;  // 1 s
// A recording that stops within a note is voiced to its last frames, of which a few are lost to the window; one that
// ends in the quiet of the room is not. 60 ms: no longer than the quiet after the shortest last note.
constexpr std::size_t edge_frames = 12, least_voiced = 8;
constexpr double within_top_db = 30;

bool sounds_between(const Observations& observed, std::size_t begin, std::size_t end) {
  std::size_t sounding = 0;
  for (std::size_t frame = begin; frame < end; ++frame) sounding += observed.sounds_at(frame) ? 1 : 0;
  return sounding >= least_voiced;
}

}  // namespace

bool Observations::sounds_at(std::size_t frame) const {
  return f0_track.voiced(frame) && evidence.level_db[frame] > evidence.top_db - within_top_db;
}

std::size_t Observations::end_of_notes() const {
  std::size_t end = frames();
  while (end > 0 && !f0_track.voiced(end - 1)) --end;
  return std::min(end + frames_behind, frames());
}

bool Observations::ends_in_sound() const {
  return sounds_between(*this, frames() - std::min(frames(), edge_frames), frames());
}

bool Observations::begins_in_sound() const {
  return sounds_between(*this, 0, std::min(frames(), edge_frames));
}

}  // namespace firmus
