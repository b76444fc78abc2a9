#pragma once
#include <doctest/doctest.h>

#include <string_view>

#include "firmus/theory.hpp"

/// The note with this name; the test fails when the name is not valid.
inline firmus::SpelledPitch note(std::string_view name) {
  const auto parsed = firmus::parse_pitch(name);
  REQUIRE_MESSAGE(std::holds_alternative<firmus::SpelledPitch>(parsed), name);
  return std::get<firmus::SpelledPitch>(parsed);
}

inline firmus::Key key(std::string_view name) {
  const auto parsed = firmus::parse_key(name);
  REQUIRE_MESSAGE(parsed.has_value(), name);
  return *parsed;
}

inline firmus::Tuning tuning(std::string_view name, std::string_view tonic = "C major") {
  const auto parsed = firmus::parse_tuning(name, key(tonic));
  REQUIRE_MESSAGE(parsed.has_value(), name);
  return *parsed;
}
