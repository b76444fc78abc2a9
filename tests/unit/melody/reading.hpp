#pragma once
#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <vector>

#include "firmus/melody.hpp"

inline firmus::Melody read(std::string_view text) {
  return firmus::read_melody(text, "song.melody");
}

/// Every error of a text, one a line; empty when there is none.
inline std::vector<std::string> errors_of(std::string_view text) {
  std::vector<std::string> lines;
  try {
    read(text);
  } catch (const firmus::InputError& error) {
    for (const firmus::Problem& problem : error.problems()) lines.push_back(to_line(problem));
  }
  return lines;
}

inline std::string only_error(std::string_view text) {
  const std::vector<std::string> lines = errors_of(text);
  CAPTURE(text);
  REQUIRE(lines.size() == 1);
  return lines.front();
}

inline std::vector<std::string> warnings_of(std::string_view text) {
  std::vector<std::string> lines;
  for (const firmus::Problem& problem : read(text).warnings) lines.push_back(to_line(problem));
  return lines;
}

inline std::string fraction_text(const firmus::Fraction& f) {
  return f.den == 1 ? std::to_string(f.num) : std::to_string(f.num) + "/" + std::to_string(f.den);
}

/// "D4@0+1 F#4@1+1/2": names, onsets and lengths in quarters.
inline std::string timeline(const firmus::Melody& melody) {
  std::string line;
  for (const firmus::WrittenNote& note : melody.notes) {
    if (!line.empty()) line += ' ';
    line +=
        pitch_name(note.pitch) + "@" + fraction_text(note.onset_quarters) + "+" + fraction_text(note.length_quarters);
  }
  return line;
}

/// "0.3 1.1 1.2": bar and beat of each note; "-" where there is none.
inline std::string places(const firmus::Melody& melody) {
  std::string line;
  for (const firmus::WrittenNote& note : melody.notes) {
    if (!line.empty()) line += ' ';
    line += note.bar ? std::to_string(*note.bar) + "." + (note.beat ? fraction_text(*note.beat) : "-") : "-";
  }
  return line;
}

/// Words of the notes, "." for none.
inline std::string words(const firmus::Melody& melody) {
  std::string line;
  for (const firmus::WrittenNote& note : melody.notes) {
    if (!line.empty()) line += ' ';
    line += note.word.value_or(".");
  }
  return line;
}

/// Everything that two readings of one melody must agree on; places in the file aside.
inline std::vector<std::string> facts(const firmus::Melody& melody) {
  std::vector<std::string> lines;
  for (const firmus::WrittenNote& n : melody.notes) {
    std::string line = pitch_name(n.pitch) + " " + fraction_text(n.beats) + " @" + fraction_text(n.onset_quarters) +
                       "+" + fraction_text(n.length_quarters) + " mark " + std::to_string(static_cast<int>(n.mark)) +
                       (n.grace ? " grace" : "") + " section " + n.section + " pass " + std::to_string(n.pass) +
                       " phrase " + std::to_string(n.phrase);
    line += " bar " + (n.bar ? std::to_string(*n.bar) : "none") + " beat " + (n.beat ? fraction_text(*n.beat) : "none");
    line += " word " + n.word.value_or("none") + " key " + (n.key ? key_name(*n.key) : "none");
    line += " tempo " + (n.quarters_per_minute ? std::to_string(*n.quarters_per_minute) : "none");
    line += " hz " + std::to_string(n.target_hz);
    lines.push_back(line);
  }
  return lines;
}
