#include "midi.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "common.hpp"
#include "remarks.hpp"

namespace firmus::score {
namespace {

constexpr int percussion_channel = 9;  // "channel 10" of General MIDI
constexpr int lowest_key = 12;         // C0
constexpr std::size_t most_measures_of_all_parts = 200'000;

/// Times in quarters. Programs write the begins and ends of notes a tick or two beside what is meant.
class TickClock {
 public:
  explicit TickClock(int ticks_per_quarter) : ticks_(ticks_per_quarter) {}

  Fraction exact(std::int64_t tick) const { return {tick, ticks_}; }

  /// The simplest fraction within 1/160 of a quarter (3 ticks of 480), which is less than half the distance of any two
  /// of them that could be confused; else the time itself.
  Fraction near(std::int64_t tick) const {
    constexpr std::array<int, 11> denominators{1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48};
    constexpr double farthest = 1.0 / 160;
    const double quarters = static_cast<double>(tick) / ticks_;
    for (const int denominator : denominators) {
      const double whole = std::round(quarters * denominator);
      if (std::fabs(whole / denominator - quarters) <= farthest) return {static_cast<std::int64_t>(whole), denominator};
    }
    return exact(tick);
  }

 private:
  int ticks_;
};

/// Measures by the time signatures, up to `end`; a new time signature begins a measure.
std::vector<Measure> measures_until(const MidiFile& midi, const TickClock& clock, const Fraction& end,
                                    std::vector<Fraction>& begins, const std::string& file) {
  std::vector<Measure> measures;
  Meter meter{4, 4};  // what holds where a file says nothing (Standard MIDI Files 1.0)
  std::size_t next = 0;
  Fraction now;
  while (measures.empty() || now < end) {
    if (measures.size() == most_played_measures)
      refuse_score(file, fmt::format("has more than {} bars", most_played_measures), "export one song");
    bool printed = measures.empty();
    for (; next < midi.meters.size() && !(now < clock.near(midi.meters[next].at)); ++next) {
      printed = printed || !(meter == midi.meters[next].meter);
      meter = midi.meters[next].meter;
    }
    Measure measure;
    measure.number = static_cast<int>(measures.size()) + 1;
    measure.meter = meter;
    measure.meter_printed = printed;
    measure.length = bar_length(meter);
    if (next < midi.meters.size())
      if (const Fraction change = clock.near(midi.meters[next].at); change < now + measure.length)
        measure.length = change - now;
    begins.push_back(now);
    now = now + measure.length;
    measures.push_back(std::move(measure));
  }
  return measures;
}

struct TimedNote {
  Fraction begin, end;
  int key = 0;
  std::int64_t tick = 0;
  std::vector<Syllable> words;
};

/// One line: of notes that begin together the highest, each shortened to the next; small gaps between them are closed.
class MidiLine {
 public:
  MidiLine(const std::vector<MidiNote>& notes, const TickClock& clock) {
    for (const MidiNote& note : notes) {
      if (note.channel == percussion_channel) continue;
      if (note.key < lowest_key) {
        too_low_ = true;
        continue;
      }
      add({clock.near(note.begin), clock.near(note.end), note.key, note.begin, {}});
    }
    finish();
  }

  std::vector<TimedNote>& notes() { return notes_; }
  bool too_low() const { return too_low_; }
  const std::vector<Fraction>& chords() const { return chords_; }
  const std::vector<Fraction>& overlaps() const { return overlaps_; }

 private:
  void add(TimedNote note) {
    if (!notes_.empty() && notes_.back().begin == note.begin) {
      chords_.push_back(note.begin);
      if (notes_.back().key < note.key) notes_.back() = std::move(note);
      return;
    }
    if (!notes_.empty() && note.begin < notes_.back().begin) return;
    notes_.push_back(std::move(note));
  }

  void finish() {
    const Fraction smallest_rest(1, 25);  // of a quarter
    for (std::size_t i = 0; i + 1 < notes_.size(); ++i) {
      TimedNote &note = notes_[i], &next = notes_[i + 1];
      if (next.begin < note.end) overlaps_.push_back(note.begin);
      if (next.begin < note.end || next.begin - note.end < smallest_rest) note.end = next.begin;
    }
    std::erase_if(notes_, [](const TimedNote& note) { return !(note.begin < note.end); });
  }

  std::vector<TimedNote> notes_;
  std::vector<Fraction> chords_, overlaps_;
  bool too_low_ = false;
};

/// The syllables of a track, each at its tick. Karaoke files have text events in which a space, / or \ in front begins
/// a word.
std::vector<MidiText> syllables_of(const MidiTrack& track) {
  if (!track.lyrics.empty()) return track.lyrics;
  std::vector<MidiText> found;
  bool any_word = false;
  for (const MidiText& text : track.texts) {
    if (text.at == 0 || text.text.empty() || text.text.front() == '@') continue;
    const bool begins_word = std::string_view(" /\\").find(text.text.front()) != std::string_view::npos;
    any_word = any_word || begins_word;
    if (!found.empty() && !begins_word) found.back().text += '-';
    found.push_back({text.at, begins_word ? text.text.substr(1) : text.text});
  }
  return any_word ? found : std::vector<MidiText>();
}

void sing(const std::vector<MidiText>& syllables, int verse, std::vector<TimedNote>& notes) {
  std::map<std::int64_t, std::size_t> by_tick;
  for (std::size_t i = 0; i < notes.size(); ++i) by_tick.try_emplace(notes[i].tick, i);
  for (const MidiText& syllable : syllables) {
    const auto found = by_tick.find(syllable.at);
    std::string text = syllable_text(syllable.text);
    if (found != by_tick.end() && !text.empty()) notes[found->second].words.push_back({verse, std::move(text)});
  }
}

class MidiScore {
 public:
  MidiScore(const MidiFile& midi, const std::string& file) : midi_(midi), file_(file), clock_(midi.ticks_per_quarter) {}

  Score read() {
    Score score;
    if (midi_.format == 0 && !midi_.tracks.empty() && !midi_.tracks.front().name.empty())
      score.title = midi_.tracks.front().name;
    else if (!midi_.tracks.empty() && midi_.tracks.front().notes.empty())
      score.title = midi_.tracks.front().name;
    for (std::size_t i = 0; i < midi_.tracks.size(); ++i) {
      if (midi_.tracks[i].notes.empty()) continue;
      if (midi_.format == 0)
        for (int channel = 0; channel < 16; ++channel) add_part(score, i, channel);
      else
        add_part(score, i, std::nullopt);
    }
    if (score.parts.empty()) refuse_score(file_, "has no notes", "check that it is the right file");
    return score;
  }

 private:
  void add_part(Score& score, std::size_t index, std::optional<int> channel) {
    const MidiTrack& track = midi_.tracks[index];
    std::vector<MidiNote> notes;
    for (const MidiNote& note : track.notes)
      if (!channel || note.channel == *channel) notes.push_back(note);
    if (notes.empty()) return;
    Part part;
    part.name = channel ? fmt::format("channel {}", *channel + 1) : track.name;
    part.unpitched =
        std::all_of(notes.begin(), notes.end(), [](const MidiNote& n) { return n.channel == percussion_channel; });
    MidiLine line(notes, clock_);
    add_words(index, line.notes());
    remarks_ = {};
    fill(part, line);
    if (track.bends) remarks_.add_whole("pitch bends are left out");
    part.warnings = remarks_.listed(file_);
    score.parts.push_back(std::move(part));
  }

  /// The words of the track itself, and of the tracks without notes that follow it, a verse each.
  void add_words(std::size_t index, std::vector<TimedNote>& notes) {
    int verse = 0;
    for (std::size_t i = index; i < midi_.tracks.size(); ++i) {
      if (i > index && !midi_.tracks[i].notes.empty()) break;
      const auto syllables = syllables_of(midi_.tracks[i]);
      if (!syllables.empty()) sing(syllables, ++verse, notes);
    }
  }

  void fill(Part& part, MidiLine& line) {
    if (line.notes().empty()) return;
    std::vector<Fraction> begins;
    part.measures = measures_until(midi_, clock_, line.notes().back().end, begins, file_);
    const auto measure_at = [&](const Fraction& time) {
      const auto after = std::upper_bound(begins.begin(), begins.end(), time);
      return static_cast<std::size_t>(std::max<std::ptrdiff_t>(after - begins.begin() - 1, 0));
    };
    measure_count_ += part.measures.size();
    if (measure_count_ > most_measures_of_all_parts)
      refuse_score(file_, "has too many bars in too many parts", "export one song");
    for (Change& change : changes()) {
      const std::size_t index = measure_at(change.at);
      change.at = change.at - begins[index];
      part.measures[index].changes.push_back(std::move(change));
    }
    for (const TimedNote& note : line.notes()) add_note(part, begins, note, measure_at(note.begin));
    if (midi_.keys.empty())
      remarks_.add_whole("MIDI has no note names, and this file no key: sharps and flats are guessed");
    for (const Fraction& at : line.chords())
      remarks_.add("of notes that begin together, the top one is taken", part.measures[measure_at(at)].number);
    for (const Fraction& at : line.overlaps())
      remarks_.add("notes overlap: the earlier one is shortened", part.measures[measure_at(at)].number);
    if (line.too_low()) remarks_.add_whole("notes below C0 are left out");
  }

  /// Of keys and tempos, by time from the begin of the file.
  std::vector<Change> changes() const {
    std::vector<Change> all;
    for (const auto& [at, key] : midi_.keys) all.push_back({clock_.near(at), key, {}, {}});
    for (const auto& [at, tempo] : midi_.tempos) all.push_back({clock_.near(at), {}, tempo, {}});
    std::stable_sort(all.begin(), all.end(), [](const Change& a, const Change& b) { return a.at < b.at; });
    return all;
  }

  /// Tied over the bars that it reaches into.
  void add_note(Part& part, const std::vector<Fraction>& begins, const TimedNote& timed, std::size_t index) const {
    const SpelledPitch pitch = nearest_pitch(hz_from_midi(timed.key), Hertz(440), key_at(timed.begin));
    Fraction begin = timed.begin;
    for (bool first = true; begin < timed.end; ++index, first = false) {
      const Fraction bar_end = begins[index] + part.measures[index].length;
      Note note;
      note.at = begin - begins[index];
      const bool goes_on = bar_end < timed.end && index + 1 < part.measures.size();
      note.length = (goes_on ? bar_end : timed.end) - begin;
      note.pitch = pitch;
      note.tie_begins = goes_on;
      note.tie_ends = !first;
      if (first) note.words = timed.words;
      begin = begin + note.length;
      part.measures[index].notes.push_back(std::move(note));
    }
  }

  std::optional<Key> key_at(const Fraction& time) const {
    const auto after = std::upper_bound(midi_.keys.begin(), midi_.keys.end(), time,
                                        [&](const Fraction& t, const MidiKey& key) { return t < clock_.near(key.at); });
    return after == midi_.keys.begin() ? std::nullopt : std::optional((after - 1)->key);
  }

  const MidiFile& midi_;
  const std::string& file_;
  TickClock clock_;
  Remarks remarks_;
  std::size_t measure_count_ = 0;
};

}  // namespace

Score read_midi(std::string_view bytes, const std::string& file) {
  return MidiScore(read_midi_events(bytes, file), file).read();
}

}  // namespace firmus::score
