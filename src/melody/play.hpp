// A sheet played out in its order: the notes of a Melody.
#pragma once
#include <functional>
#include <vector>

#include "sheet.hpp"

namespace firmus::sheet {

constexpr int most_notes = 20000;

/// Fills in Sheet::order from the sections named, or as they stand. Errors: unknown sections, sections that hold
/// nothing. Warnings: sections never played, words of a pass never sung.
void resolve_order(Sheet& sheet, Diagnostics& errors, Diagnostics& warnings);

/// One item in playing order, with the pass of its section.
struct Played {
  const Section* section = nullptr;
  int pass = 1;
  const Item* item = nullptr;
};
/// Calls `visit` for every item in playing order.
void visit_played(const Sheet& sheet, const std::function<void(const Played&)>& visit);

/// Whether there is something to play and not too much; errors say so otherwise. Costs nothing, however long the order.
bool within_limits(const Sheet& sheet, Diagnostics& errors);

/// Notes of a sheet within limits in playing order, target_hz not yet set. Errors: holds with nothing to hold.
std::vector<WrittenNote> play_out(const Sheet& sheet, Diagnostics& errors);

}  // namespace firmus::sheet
