#include <doctest/doctest.h>

#include <deque>
#include <string>

#include "firmus/practice.hpp"

using namespace firmus;

namespace {

// Rising sixths on notes 1, 3, 5 ...; seven of them.
constexpr const char* sixths =
    "title: Stairs\nkey: D major\nmeter: 4/4\ntempo: 90\n"
    "D4 B4 E4 C#5 | D4 B4 E4 C#5 | D4 B4 E4 C#5 | D4 B4 D4:2 |\n";

/// Takes of one melody with given errors.
class Takes {
 public:
  /// `cents[k]` on the k-th rising sixth; the other notes are nearly in tune.
  Result& add(const std::vector<double>& cents) {
    Result& result = results_.emplace_back();
    result.melody = MelodyFacts{melody_.title, melody_.sha256, melody_.text, {}, {}, {}, 15};
    result.transposition_semitones = 0;
    for (const WrittenNote& note : melody_.notes) {
      const bool sixth = note.index % 2 == 1;
      const double off = sixth ? cents[static_cast<std::size_t>(note.index / 2)] : note.index % 3 - 1.0;
      result.notes.push_back(sung(note, off));
    }
    return result;
  }
  Practice plan() const {
    std::vector<PracticeTake> takes;
    for (const Result& result : results_) takes.push_back({&melody_, &result});
    return plan_practice(takes, {});
  }
  /// "TAKE:INDEX" of each place of the first fault.
  std::string places() const {
    const Practice practice = plan();
    std::string text;
    for (const FaultPlace& place : practice.faults.at(0).places) {
      std::size_t take = 0;
      while (&results_[take] != place.result) ++take;
      text += std::to_string(take) + ":" + std::to_string(*place.note->index) + " ";
    }
    return text;
  }

 private:
  static NoteResult sung(const WrittenNote& note, double cents) {
    NoteResult row;
    row.index = note.index;
    row.written = pitch_name(note.pitch);
    row.phrase = note.phrase;
    row.errors = {cents, cents, cents};
    row.se_cents = 1;
    row.verdict = cents < -25 ? Verdict::flat : cents > 25 ? Verdict::sharp : Verdict::in_tune;
    row.onset_s = 1 + 0.7 * note.index;
    row.end_s = *row.onset_s + 0.6;
    row.sung_hz = 440;
    return row;
  }

  Melody melody_ = read_melody(sixths, "stairs.melody");
  std::deque<Result> results_;
};

}  // namespace

TEST_CASE("of one take the six places furthest off are kept, in the order they were sung") {
  Takes takes;
  takes.add({-30, -31, -24, -32, -33, -34, -35});
  CHECK(takes.places() == "0:1 0:3 0:7 0:9 0:11 0:13 ");
}

TEST_CASE("what is off the other way, hardly off, or not to be heard is no place of the fault") {
  Takes takes;
  Result& take = takes.add({-60, -9, -61, -62, -63, -64, -65});
  take.notes[5].verdict = Verdict::unclear;
  take.notes[7].sung_hz.reset();
  takes.add({-60, -9, 12, -62, -63, -64, -65}).error = NotMeasured{"x", "", ""};
  CHECK(takes.places() == "0:1 0:9 0:11 0:13 ");
  take.notes[13].errors = {30, 30, 30};
  take.notes[13].verdict = Verdict::sharp;
  CHECK(takes.places() == "0:1 0:9 0:11 ");
}

TEST_CASE("places come from three takes at most, those with the notes furthest off, by date") {
  Takes takes;
  takes.add({-30, -30, -30, -30, -30, -30, -50}).context.date = "2031-05-19";
  takes.add({-30, -30, -30, -30, -30, -45, -30}).context.date = "2031-05-12";
  takes.add({-33, -30, -30, -30, -30, -34, -35}).context.date = "2031-05-26";
  takes.add({-40, -30, -30, -30, -38, -30, -30}).context.date = "2031-05-12";
  CHECK(takes.places() == "1:1 1:3 1:11 3:1 3:9 0:13 ");
}
