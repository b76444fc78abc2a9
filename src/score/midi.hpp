// Standard MIDI files (Standard MIDI Files 1.0, RP-001, MIDI Manufacturers Association), formats 0 and 1.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "score.hpp"

namespace firmus::score {

/// The parts are the tracks with notes, in format 0 the channels. Times are moved to the nearest simple fraction of a
/// quarter where they are within a few ticks of it; bars are counted by the time signatures, from 1.
Score read_midi(std::string_view bytes, const std::string& file);

/// A note by its times in ticks from the begin of the file.
struct MidiNote {
  std::int64_t begin = 0, end = 0;
  int channel = 0, key = 0;
};

struct MidiText {
  std::int64_t at = 0;
  std::string text;
};

struct MidiMeter {
  std::int64_t at = 0;
  Meter meter;
};
struct MidiKey {
  std::int64_t at = 0;
  Key key;
};
struct MidiTempo {
  std::int64_t at = 0;
  double quarters_per_minute = 120;
};

struct MidiTrack {
  std::string name;
  std::vector<MidiNote> notes;
  std::vector<MidiText> lyrics, texts;
  bool bends = false;
};

struct MidiFile {
  int format = 0;
  int ticks_per_quarter = 480;
  std::vector<MidiTrack> tracks;
  // Of all tracks, by time.
  std::vector<MidiMeter> meters;
  std::vector<MidiKey> keys;
  std::vector<MidiTempo> tempos;
};

/// The events of a file. Throws InputError where it is damaged, of format 2, or counts seconds instead of beats.
MidiFile read_midi_events(std::string_view bytes, const std::string& file);

}  // namespace firmus::score
