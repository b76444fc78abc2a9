#include "joined_notes.hpp"

#include <algorithm>
#include <cmath>

#include "base/frames.hpp"

namespace firmus::decode {
namespace {

constexpr double search_share = 0.25;  // of a note, either way of where the beat says
constexpr float off_beat = 2.0F;       // evidence that weighs as much as a quarter of a note from where the beat says
// The evidence of an onset is its log odds and the depth of a dip of the level in dB, added up. Of 14 notes that were
// held through it was -5.3 at most, of 112 repeated with dips of 3 dB half had more, of those with 6 dB all.
constexpr float shows_from = -5.3F;
constexpr std::size_t dip_reach = 16;                  // frames, 80 ms either way: the level beside a dip
constexpr std::size_t dip_before = 3, dip_spread = 5;  // frames: 15 ms before an onset, and 25 ms either way
constexpr float dip_db_per_frame = 0.1F;

struct SoundFrames {
  std::size_t from = 0, to = 0;
};

/// How far the level at `frame` is under the highest on either side, whichever is less.
float depth_at(std::span<const float> level_db, std::size_t frame, SoundFrames sound) {
  const std::size_t from = std::max(sound.from, frame - std::min(frame, dip_reach)),
                    to = std::min(sound.to, frame + dip_reach + 1);
  const auto at = [&](std::size_t i) { return level_db.begin() + static_cast<std::ptrdiff_t>(i); };
  return std::min(*std::max_element(at(from), at(frame + 1)), *std::max_element(at(frame), at(to))) - level_db[frame];
}

struct Start {
  std::size_t frame = 0;
  bool shows = false;
};

/// The deepest dip about an onset at `frame`, in dB, less the further it is from where dips are.
float dip_at(std::span<const float> level_db, std::size_t frame, SoundFrames sound) {
  float deepest = 0;
  for (std::size_t i = std::max(sound.from, frame - std::min(frame, dip_before + dip_spread));
       i < std::min(sound.to, frame - std::min(frame, dip_before) + dip_spread + 1); ++i) {
    const float away = std::abs(static_cast<float>(i + dip_before) - static_cast<float>(frame));
    deepest = std::max(deepest, depth_at(level_db, i, sound) - dip_db_per_frame * away);
  }
  return deepest;
}

/// Where a note begins within a sound, near `expected`.
Start start_near(const Observations& observed, std::span<const float> logits, std::size_t expected, SoundFrames search,
                 SoundFrames sound) {
  Start start{expected, false};
  float best = -1e9F;
  const auto reach = static_cast<float>(std::max(search.to - search.from, std::size_t{2})) / 2;
  for (std::size_t frame = search.from; frame < search.to; ++frame) {
    const float away = (static_cast<float>(frame) - static_cast<float>(expected)) / reach;
    const float evidence = logits[frame] + dip_at(observed.evidence.level_db, frame, sound);
    if (evidence - off_beat * away * away <= best) continue;
    best = evidence - off_beat * away * away;
    start = {frame, evidence > shows_from};
  }
  return start;
}

class Splitter {
 public:
  Splitter(const Observations& observed, std::span<const Boundary> boundaries, const Path& path,
           std::span<const TargetNote> targets)
      : observed_(observed),
        boundaries_(boundaries),
        path_(path),
        targets_(targets),
        logits_(smooth_logits(observed.onsets.onset_logit)) {
    split_.boundaries.assign(boundaries.begin(), boundaries.end());
    split_.path.score = path.score;
  }

  SplitPath split() && {
    for (std::size_t i = 0; i < path_.notes.size(); ++i) add(i);
    return std::move(split_);
  }

 private:
  void add(std::size_t i) {
    const PathNote& note = path_.notes[i];
    PathNote part = note;
    part.count = 1;
    if (note.end >= boundaries_.size()) part.end = end_of_recording;  // no index of a boundary that is added
    const std::size_t end = part.end;
    if (note.count < 2) {
      split_.path.notes.push_back(part);
      return;
    }
    const SoundFrames sound{frame_of(note.begin), sound_end(note)};
    std::size_t before = sound.from;
    for (std::size_t k = 1; k < note.count; ++k) {
      const std::size_t expected = expected_frame(i, k, sound);
      const Start start = start_near(observed_, logits_, expected, search_range(i, k, sound, before), sound);
      split_.boundaries.push_back({start.frame, logits_[start.frame]});
      part.end = split_.boundaries.size() - 1;
      split_.path.notes.push_back(part);
      part.end = end;
      part.begin = split_.boundaries.size() - 1;
      part.written = *note.written + static_cast<int>(k);
      part.within_sound = true;
      part.joined = !start.shows;
      before = start.frame;
    }
    split_.path.notes.push_back(part);
  }

  static constexpr auto end_of_recording = static_cast<std::size_t>(-1);
  std::size_t frame_of(std::size_t boundary) const {
    return boundary < boundaries_.size() ? boundaries_[boundary].frame : observed_.end_of_notes();
  }
  /// One past the last voiced frame of the note.
  std::size_t sound_end(const PathNote& note) const {
    std::size_t end = frame_of(note.end);
    while (end > frame_of(note.begin) + note.count && !observed_.f0_track.voiced(end - 1)) --end;
    return end;
  }
  double quarters_at(std::size_t i, std::size_t k) const {
    const auto first = static_cast<std::size_t>(*path_.notes[i].written);
    return targets_[first + k].onset_quarters - targets_[first].onset_quarters;
  }
  /// SoundFrames of the sound for each quarter: to the next onset, where the next written note begins at the end.
  double frames_per_quarter(std::size_t i, SoundFrames sound) const {
    const PathNote& note = path_.notes[i];
    const auto after = static_cast<std::size_t>(*note.written) + note.count;
    const bool goes_on = i + 1 < path_.notes.size() && path_.notes[i + 1].begin == note.end &&
                         path_.notes[i + 1].written == static_cast<int>(after);
    if (goes_on) return static_cast<double>(frame_of(note.end) - sound.from) / quarters_at(i, note.count);
    const double quarters = quarters_at(i, note.count - 1) + targets_[after - 1].length_quarters;
    return static_cast<double>(sound.to - sound.from) / quarters;
  }
  std::size_t expected_frame(std::size_t i, std::size_t k, SoundFrames sound) const {
    return std::min(sound.from + static_cast<std::size_t>(frames_per_quarter(i, sound) * quarters_at(i, k)),
                    sound.to - 1);
  }
  SoundFrames search_range(std::size_t i, std::size_t k, SoundFrames sound, std::size_t before) const {
    const double per_quarter = frames_per_quarter(i, sound), at = quarters_at(i, k);
    const double earlier = search_share * (at - quarters_at(i, k - 1));
    const auto frame = [&](double quarters) { return sound.from + static_cast<std::size_t>(per_quarter * quarters); };
    return {std::max(frame(at - earlier), before + 1), std::min(frame(at + earlier) + 1, sound.to)};
  }

  const Observations& observed_;
  std::span<const Boundary> boundaries_;
  const Path& path_;
  std::span<const TargetNote> targets_;
  std::vector<float> logits_;
  SplitPath split_;
};

}  // namespace

SplitPath split_joined_notes(const Observations& observed, std::span<const Boundary> boundaries, const Path& path,
                             std::span<const TargetNote> targets) {
  return Splitter(observed, boundaries, path, targets).split();
}

}  // namespace firmus::decode
