// A passage of a melody: the notes of some bars.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <utility>

#include "firmus/melody.hpp"

namespace firmus {
namespace melody {
namespace {

/// Keeps the notes in these bars, of a bar that is played again those of its first time.
std::vector<WrittenNote> notes_in(std::vector<WrittenNote> notes, const BarRange& bars) {
  std::map<std::pair<std::string, int>, int> first_pass;  // by section and bar
  std::erase_if(notes, [&](const WrittenNote& note) {
    if (!note.bar || *note.bar < bars.first || *note.bar > bars.last) return true;
    return first_pass.try_emplace({note.section, *note.bar}, note.pass).first->second != note.pass;
  });
  return notes;
}

/// The notes that a drill aims at, as far as they are in the passage, counted in it.
std::optional<DrillAim> aim_in(std::optional<DrillAim> aim, const std::vector<WrittenNote>& notes) {
  if (!aim) return std::nullopt;
  std::vector<int> kept;
  for (std::size_t i = 0; i < notes.size(); ++i)
    if (std::binary_search(aim->notes.begin(), aim->notes.end(), notes[i].index)) kept.push_back(static_cast<int>(i));
  if (kept.empty()) return std::nullopt;
  aim->notes = std::move(kept);
  return aim;
}

std::string bars_of(const std::vector<WrittenNote>& notes) {
  std::optional<int> first, last;
  for (const WrittenNote& note : notes) {
    if (!note.bar) continue;
    first = std::min(first.value_or(*note.bar), *note.bar);
    last = std::max(last.value_or(*note.bar), *note.bar);
  }
  return first ? bar_range_in_words({*first, *last}) : "";
}

/// Counts indices and onsets from the first note on.
void count_from_first(std::vector<WrittenNote>& notes) {
  const Fraction start_quarters = notes.front().onset_quarters, start_beats = notes.front().onset_beats;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    notes[i].index = static_cast<int>(i);
    notes[i].onset_quarters = notes[i].onset_quarters - start_quarters;
    notes[i].onset_beats = notes[i].onset_beats - start_beats;
  }
}

}  // namespace
}  // namespace melody

std::optional<BarRange> parse_bar_range(std::string_view text) {
  const char* const end = text.data() + text.size();
  BarRange bars;
  const auto first = std::from_chars(text.data(), end, bars.first);
  if (first.ec != std::errc() || bars.first < 0) return std::nullopt;
  bars.last = bars.first;
  if (first.ptr == end) return bars;
  if (*first.ptr != '-') return std::nullopt;
  const auto last = std::from_chars(first.ptr + 1, end, bars.last);
  if (last.ec != std::errc() || last.ptr != end || bars.last < bars.first) return std::nullopt;
  return bars;
}

std::string bar_range_text(const BarRange& bars) {
  return bars.first == bars.last ? fmt::format("{}", bars.first) : fmt::format("{}-{}", bars.first, bars.last);
}

std::string bar_range_in_words(const BarRange& bars) {
  return bars.first == bars.last ? fmt::format("bar {}", bars.first)
                                 : fmt::format("bars {} to {}", bars.first, bars.last);
}

Melody passage_of(Melody melody, const BarRange& bars, const std::string& name) {
  const std::string all = melody::bars_of(melody.notes);
  if (all.empty())
    throw InputError(
        Problem{{name}, "has no bars to choose a passage from", "give it a meter, such as \"meter: 4/4\""});
  melody.notes = melody::notes_in(std::move(melody.notes), bars);
  if (melody.notes.empty())
    throw InputError(
        Problem{{name}, fmt::format("has no note in {}", bar_range_in_words(bars)), fmt::format("it has {}", all)});
  melody.drill = melody::aim_in(std::move(melody.drill), melody.notes);
  melody::count_from_first(melody.notes);
  if (melody.notes.front().key) melody.key = melody.notes.front().key;
  melody.title += (melody.title.empty() ? "" : ", ") + bar_range_in_words(bars);
  melody.bars = bars;
  return melody;
}

bool is_same_melody(const Melody& a, const Melody& b) {
  return &a == &b || (!a.sha256.empty() && a.sha256 == b.sha256 && a.bars == b.bars);
}

}  // namespace firmus
