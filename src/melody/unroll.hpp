// A sheet played out in its order: the notes of a Melody.
#pragma once
#include <functional>
#include <vector>

#include "parsed_melody.hpp"

namespace firmus::melody {

constexpr int most_notes = 20000;

/// Fills in Sheet::order from the sections named, or as they stand. Errors: unknown sections, sections that hold
/// nothing. Warnings: sections never played, words of a pass never sung.
void resolve_order(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings);

/// One item in playing order, with the pass of its section.
struct UnrolledItem {
  const Section* section = nullptr;
  int pass = 1;
  const Item* item = nullptr;
};
/// Calls `visit` for every item in playing order.
void visit_unrolled(const ParsedMelody& parsed, const std::function<void(const UnrolledItem&)>& visit);

/// Whether there is something to play and not too much; errors say so otherwise. Costs nothing, however long the order.
bool within_limits(const ParsedMelody& parsed, Diagnostics& errors);

/// Notes of a sheet within limits in playing order, target_hz not yet set. Errors: holds with nothing to hold.
std::vector<WrittenNote> unroll(const ParsedMelody& parsed, Diagnostics& errors);

}  // namespace firmus::melody
