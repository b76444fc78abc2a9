// Unrolls the sections of a ParsedMelody in playing order into the notes of a Melody.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "parsed_melody.hpp"

namespace firmus::melody {

constexpr int most_notes = 20000;

/// Sets ParsedMelody::order from the declared order, or to the order in the file. Errors: unknown sections, empty
/// sections. Warnings: sections never played, words of a pass never sung.
void resolve_order(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings);

/// The name of a section that the file gives none: A, B, ... Z, AA, AB, ...
std::string section_name(std::size_t index);

/// An item in playing order, with the pass of its section.
struct UnrolledItem {
  const Section* section = nullptr;
  int pass = 1;
  const Item* item = nullptr;
};
/// Calls `visit` for every item in playing order.
void visit_unrolled(const ParsedMelody& parsed, const std::function<void(const UnrolledItem&)>& visit);

/// Whether there is at least one note and no more than the limits allow; adds an error otherwise. Fast even for a very
/// long order, since nothing is unrolled.
bool within_limits(const ParsedMelody& parsed, Diagnostics& errors);

/// The notes in playing order, target_hz not yet set. The melody must be within limits. Errors: holds that follow no
/// note.
std::vector<WrittenNote> unroll(const ParsedMelody& parsed, Diagnostics& errors);

}  // namespace firmus::melody
