// What the summary says of a take without a melody: how wide its intervals are, which notes lie between two names, how
// steady the notes are, and their vibrato.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "base/statistics.hpp"
#include "firmus/theory.hpp"
#include "interval_words.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

constexpr std::size_t most_intervals = 6, most_between = 3;
constexpr double between_cents = 40;  // of the 50 to the middle between two semitones
constexpr double least_vibrato_cents = 10;

/// Sung sizes in cents of one interval, without their direction.
struct SungInterval {
  std::string words;
  double written_cents = 0;
  std::vector<double> sung_cents;
};

/// The most frequent first; equally frequent ones from narrow to wide.
std::vector<SungInterval> sung_intervals(const Result& result) {
  std::map<std::tuple<long, Direction, std::string>, SungInterval> by_name;
  for (const NoteResult& note : result.notes) {
    if (!note.interval_name || !note.interval_direction || !note.interval_written_cents || !note.errors.interval_cents)
      continue;
    if (note.verdict == Verdict::other_note) continue;
    const double sign = *note.interval_direction == Direction::down ? -1 : 1, written = *note.interval_written_cents;
    SungInterval& interval = by_name[{std::lround(std::fabs(written)), *note.interval_direction, *note.interval_name}];
    interval.words = interval_in_words(*note.interval_name, note.interval_direction);
    interval.written_cents = sign * written;
    interval.sung_cents.push_back(sign * (written + *note.errors.interval_cents));
  }
  std::vector<SungInterval> intervals;
  for (auto& [name, interval] : by_name)
    if (interval.sung_cents.size() > 1) intervals.push_back(std::move(interval));
  std::stable_sort(intervals.begin(), intervals.end(), [](const SungInterval& a, const SungInterval& b) {
    return a.sung_cents.size() > b.sung_cents.size();
  });
  if (intervals.size() > most_intervals) intervals.resize(most_intervals);
  return intervals;
}

/// "  rising minor seconds   92 cents, 8 narrow (6 of them, 85 to 103)"
void add_intervals(Page& page, const Result& result) {
  const std::vector<SungInterval> intervals = sung_intervals(result);
  if (intervals.empty()) return;
  page.line("Intervals as sung");
  for (const SungInterval& interval : intervals) {
    const double mean = mean_and_sd(interval.sung_cents).mean;
    const auto off = static_cast<int>(std::lround(mean) - std::lround(interval.written_cents));
    const auto [low, high] = std::minmax_element(interval.sung_cents.begin(), interval.sung_cents.end());
    const std::string than = off == 0 ? "" : fmt::format(", {} {}", std::abs(off), off < 0 ? "narrow" : "wide");
    page.item(fmt::format("{}s: {:.0f} cents{} ({} of them, {:.0f} to {:.0f})", interval.words, mean + 0.0,
                          interval.written_cents == 0 ? "" : than, interval.sung_cents.size(), *low + 0.0,
                          *high + 0.0));
  }
  page.gap();
}

/// "halfway between F#4 and G4 at 0:30.6": notes whose name is a toss-up.
void add_between(Page& page, const Result& result) {
  if (result.melody) return;
  std::vector<std::string> places;
  std::size_t more = 0;
  for (const NoteResult& note : result.notes) {
    const auto error = error_of(result, note);
    if (!note.written || !error || std::fabs(*error) < between_cents || !note.onset_s) continue;
    const auto pitch = parse_pitch(*note.written);
    if (!std::holds_alternative<SpelledPitch>(pitch)) continue;
    const int neighbour = midi_key(std::get<SpelledPitch>(pitch)) + (*error > 0 ? 1 : -1);
    if (places.size() == most_between) {
      ++more;
      continue;
    }
    places.push_back(fmt::format("{} and {} at {}", *note.written,
                                 pitch_name(nearest_pitch(hz_from_midi(neighbour), Hertz(440))),
                                 clock_time(*note.onset_s)));
  }
  if (places.empty()) return;
  page.entry("Halfway", "between " + listed(places) + (more > 0 ? fmt::format("; {} more", more) : ""));
}

void add_steadiness(Page& page, const Result& result) {
  std::vector<double> spreads, rates, extents;
  for (const NoteResult& note : result.notes) {
    if (note.unclear_reason || !note.spread_cents || note.status != NoteStatus::sung) continue;
    spreads.push_back(*note.spread_cents);
    if (!note.vibrato || note.vibrato->extent_cents < least_vibrato_cents) continue;
    rates.push_back(note.vibrato->rate_hz);
    extents.push_back(note.vibrato->extent_cents);
  }
  if (spreads.empty()) return;
  const std::size_t notes = spreads.size();
  page.entry("Steadiness",
             fmt::format("the pitch of a typical note varies by {:.0f} cents", median(std::move(spreads)) + 0.0));
  if (rates.empty()) return page.entry("Vibrato", "none");
  page.entry("Vibrato", fmt::format("on {} of {}: {:.1f} a second, {:.0f} cents either way", rates.size(),
                                    counted(static_cast<int>(notes), "note"), median(rates), median(extents)));
}

}  // namespace

void add_as_sung(Page& page, const Result& result) {
  if (result.melody && !result.melody->from_take) return;
  add_between(page, result);
  add_steadiness(page, result);
  page.gap();
  add_intervals(page, result);
}

}  // namespace firmus::report
