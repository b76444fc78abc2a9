// A simulated singer: a melody and a plan of errors -> samples and the exact ground truth. The sound is voice-like
// (harmonics through formants, consonants, breath, scoops, glides, vibrato, 1/f-like drift of f0), in a room with noise
// and reverberation. The same plan gives the same samples on every run.
#pragma once
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/melody.hpp"

namespace firmus::singer {

inline constexpr int rate_hz = 16000;
inline constexpr double vowel_rise_s = 0.035;  ///< rise time of a vowel: half a period of a raised cosine

/// How the voice behaves. The defaults are a tidy amateur.
struct Voice {
  double formant_scale = 1.15;  ///< 1.0 a long vocal tract (a man's), 1.15 a woman's, 1.3 a child's
  double vibrato_rate_hz = 5.5;
  double vibrato_extent_cents = 18;  ///< either way; 0: none
  double vibrato_delay_s = 0.25;     ///< after the onset, before it sets in
  double trill_cents = 0;            ///< notes of at least trill_from_s alternate with one so much higher; 0: none
  double trill_rate_hz = 7;          ///< back and forth
  double trill_from_s = 0.45;
  double scoop_cents = -45;    ///< start of a note after a gap, relative to its centre
  double scoop_s = 0.07;       ///< duration of the scoop
  double glide_s = 0.06;       ///< duration of the glide between notes without a gap
  double wander_cents = 4;     ///< standard deviation of the slow random fluctuation of f0
  double jitter_cents = 2;     ///< standard deviation of the fast part (5 ms)
  double breath_db = -32;      ///< aspiration under the vowel
  double legato_dip = 0.6;     ///< level between two vowels without a consonant, relative to the vowel
  double level_spread_db = 0;  ///< standard deviation of the loudness of single notes
};

/// How it is recorded.
struct Room {
  double peak_dbfs = -8;
  double noise_dbfs = -70;  ///< RMS of the room's noise
  double reverb_s = 0.3;    ///< to -60 dB
  double reverb_db = -16;   ///< of all reflections together, against the direct sound
};

/// From written note `from_index` on, everything is sung `semitones` higher than before.
struct KeyChange {
  int from_index = 0;
  double semitones = 0;
};
/// Written notes `from` to `to`, both included.
struct IndexRange {
  int from = 0, to = 0;
};
/// Sings `range`, stops, and begins again at `range.from`. The first run is the restart.
struct Restart {
  IndexRange range;
  double pause_s = 1.2;
};
/// A note that is not written, after written note `after_index`.
struct ExtraNote {
  int after_index = 0;
  double semitones = 2;  ///< from the note before it
  double length_s = 0.4;
};

/// The melody to sing and the errors to make.
struct Plan {
  std::uint64_t seed = 1;
  Voice voice;
  Room room;
  double tempo_factor = 1;  ///< of the written tempo (90 quarters a minute where none is written)
  double transposition_semitones = 0;
  double detune_cents = 0;           ///< of the whole take
  double drift_cents = 0;            ///< reached by the last note, evenly in time from the first
  std::map<int, double> note_cents;  ///< planted error of single written notes
  double note_spread_cents = 4;      ///< standard deviation of a random error of each note
  double timing_spread_s = 0.012;    ///< standard deviation of each onset, cut at three times that
  std::vector<KeyChange> key_changes;
  std::vector<IndexRange> left_out;
  std::vector<Restart> restarts;
  std::vector<ExtraNote> extras;
  double talk_s = 0;    ///< of speech-like sound before the first note
  double lead_s = 0.7;  ///< of room before anything sounds
  double tail_s = 0.7;
  bool says_word_ends = false;  ///< "light" ends in its t, "home" in its m; false: the vowel ends the word
  bool slurs = false;           ///< a note without a word carries on the vowel before it; false: on a filler syllable
  std::vector<std::string> syllables = {"la", "da", "no", "me", "ta"};  ///< in turn, where the melody has no word
};

enum class Kind { sung, restart, extra };
std::string_view to_string(Kind kind);

/// The truth of one note. `sung_hz` is the mean of log f0 over the middle of the note (from 25 to 85 % of it), with the
/// slow fluctuation and without vibrato. Grace notes are not sung.
struct SungNote {
  double onset_s = 0;          ///< start of the vowel: where it begins to rise
  double end_s = 0;            ///< start of the following consonant or silence
  std::optional<int> written;  ///< none for an extra
  double sung_hz = 0;
  double centre_hz =
      0;  ///< the note's pitch as measured: the median of f0 over the middle three fifths, without vibrato
  std::optional<double> cents_from_written;  ///< against the melody's target_hz, transposition included
  Kind kind = Kind::sung;
};

struct Performance {
  std::vector<float> samples;   ///< mono, at rate_hz
  std::vector<SungNote> notes;  ///< by onset
};

Performance sing(const Melody& melody, const Plan& plan);

/// Adds `cents` to the planted error of every note that is reached by the named interval ("M6") in that direction;
/// the number of such notes.
int plant_on_interval(Plan& plan, const Melody& melody, std::string_view interval, Direction direction, double cents);

/// The ground truth as CSV: onset_s,end_s,written_index,sung_hz,cents_from_written,kind; written_index -1 for an extra.
std::string truth_csv(const std::vector<SungNote>& notes);
/// Reads what truth_csv writes. Throws std::runtime_error naming the line.
std::vector<SungNote> read_truth_csv(std::string_view text);

}  // namespace firmus::singer
