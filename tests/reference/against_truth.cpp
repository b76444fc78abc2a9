#include "against_truth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>

namespace firmus::reference {
namespace {

const NoteResult* find_sung(const Result& result, int index) {
  for (const NoteResult& note : result.notes) {
    if (note.index == index && note.status == NoteStatus::sung && note.onset_s && note.end_s) return &note;
  }
  return nullptr;
}

bool overlaps_by_half(const NoteResult& note, const singer::SungNote& truth) {
  const double together_s = std::min(*note.end_s, truth.end_s) - std::max(*note.onset_s, truth.onset_s);
  return together_s >= 0.5 * std::min(*note.end_s - *note.onset_s, truth.end_s - truth.onset_s);
}

void add_note(Agreement& agreement, const NoteResult* note, const singer::SungNote& truth) {
  ++agreement.sung;
  if (!note || !overlaps_by_half(*note, truth)) {
    if (!note) ++agreement.wrongly_missing;
    agreement.not_found +=
        fmt::format(" [{} at {:.2f} s: {}]", *truth.written, truth.onset_s,
                    note ? fmt::format("given {:.2f} to {:.2f} s", *note->onset_s, *note->end_s) : "missing");
    return;
  }
  ++agreement.found;
  if (note->sung_hz) agreement.cents_off.push_back(cents_between(Hertz(truth.sung_hz), Hertz(*note->sung_hz)));
  const double late_s = *note->onset_s - truth.onset_s;
  if (std::abs(late_s) <= 0.05) {
    ++agreement.onset_within_50_ms;
  } else {
    agreement.not_found +=
        fmt::format(" [{} at {:.2f} s: onset {:+.0f} ms]", *truth.written, truth.onset_s, 1000 * late_s);
  }
}

}  // namespace

std::string studio_path(const std::string& below) {
  return std::string(FIRMUS_SOURCE_DIR) + "/examples/studio/" + below;
}

Melody studio_melody(const std::string& name) {
  return read_melody_file(studio_path(name + ".melody"));
}

Result measure_samples(const std::vector<float>& samples, const Melody& melody, const MeasureOptions& options) {
  return measure_take(recording_from_samples("simulated", samples, 1, singer::rate_hz), &melody, options);
}

Agreement compare(const Result& result, const std::vector<singer::SungNote>& truth) {
  Agreement agreement;
  std::set<int> truly_sung;
  for (const singer::SungNote& note : truth) {
    if (note.kind != singer::Kind::sung) continue;
    truly_sung.insert(*note.written);
    add_note(agreement, find_sung(result, *note.written), note);
  }
  for (const NoteResult& note : result.notes) {
    if (note.index && note.status == NoteStatus::sung && truly_sung.count(*note.index) == 0) ++agreement.wrongly_sung;
  }
  return agreement;
}

double quantile_of_size(std::vector<double> values, double share) {
  if (values.empty()) return 1e9;
  for (double& value : values) value = std::abs(value);
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

const NoteResult& sung_note(const Result& result, int index) {
  const NoteResult* note = find_sung(result, index);
  if (!note) throw std::runtime_error(fmt::format("note {} was not found in the take", index));
  return *note;
}

std::vector<int> indices_with(const Result& result, NoteStatus status) {
  std::vector<int> indices;
  for (const NoteResult& note : result.notes) {
    if (note.index && note.status == status) indices.push_back(*note.index);
  }
  return indices;
}

}  // namespace firmus::reference
