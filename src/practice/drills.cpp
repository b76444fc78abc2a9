#include "drills.hpp"

#include <fmt/format.h>

#include <utility>

#include "drill_maker.hpp"
#include "usable_takes.hpp"

namespace firmus::practice {
namespace {

constexpr int slow_bpm = 60;  ///< a second a beat: common practice for long notes

}  // namespace

DrillMaker::DrillMaker(const LocatedFault& fault, const std::optional<NoteRange>& range)
    : fault_(fault), range_(range), target_(*sung(fault.index)) {
  if (fault.before) start_ = sung(*fault.before);
  if (start_ && (!fits(*start_) || interval_between(*start_, target_).semitones == 0)) start_.reset();
}

bool DrillMaker::fits(const SpelledPitch& pitch) const {
  return in_range(range_, pitch);
}

std::optional<SpelledPitch> DrillMaker::sung(int index) const {
  return at_sung_pitch(*fault_.take, melody().note(index).pitch);
}

std::optional<Key> DrillMaker::key() const {
  const auto written = melody().note(fault_.index).key ? melody().note(fault_.index).key : melody().key;
  if (!written) return std::nullopt;
  const auto tonic = at_sung_pitch(*fault_.take, {written->letter, written->alter, 4});
  return tonic ? Key{tonic->letter, tonic->alter, written->mode} : *written;
}

DrillHeader DrillMaker::head(std::string title, Reference reference) const {
  DrillHeader head;
  head.title = std::move(title);
  head.aim = {fault_.row.group, fault_.row.name, fault_.row.direction, is_flat(), {}};
  if (fault_.row.group == "substitution")  // the written note itself is what is practised
    head.aim = {"note", fault_.row.name.substr(0, fault_.row.name.find('>')), std::nullopt, is_flat(), {}};
  head.aim.size_cents = size_in_cents(fault_.row);
  if (melody().key) head.key = key();
  head.tempo = fmt::format("{}", slow_bpm);
  head.tuning = melody().tuning;
  head.a4_hz = melody().a4_hz;
  head.sounds_semitones = melody().sounds_semitones;
  head.reference = reference;
  return head;
}

void DrillMaker::add(std::string name, const DrillHeader& head, std::string how, const std::vector<DrillNote>& sounds) {
  drills_.push_back({std::move(name), head.title, std::move(how), drill_text(head, sounds)});
}

std::vector<Drill> make_drills(const LocatedFault& fault, const std::optional<NoteRange>& range) {
  DrillMaker maker(fault, range);
  add_note_drills(maker);
  add_degree_drills(maker);
  add_interval_drills(maker);
  add_phrase_drills(maker);
  return maker.take();
}

}  // namespace firmus::practice
