#include "musicxml_part.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "common.hpp"
#include "xml_document.hpp"

namespace firmus::score {
namespace {

/// "3", "3+2"; 0 where it is not a number of beats.
int sum_of_beats(std::string_view text) {
  int sum = 0;
  while (!text.empty()) {
    const std::size_t plus = std::min(text.find('+'), text.size());
    const auto beats = whole_number(text.substr(0, plus), 1, 64);
    if (!beats) return 0;
    sum += *beats;
    text.remove_prefix(std::min(plus + 1, text.size()));
  }
  return sum;
}

/// The quarters that a metronome's note lasts; none for an unknown name.
std::optional<Fraction> beat_unit_quarters(const pugi::xml_node& metronome) {
  const std::map<std::string_view, Fraction> lengths{{"whole", {4}},     {"half", {2}},    {"quarter", {1}},
                                                     {"eighth", {1, 2}}, {"16th", {1, 4}}, {"breve", {8}}};
  const auto found = lengths.find(child_text(metronome, "beat-unit"));
  if (found == lengths.end()) return std::nullopt;
  Fraction length = found->second, dot = length;
  for (const pugi::xml_node& child : metronome.children()) {
    if (std::string_view(child.name()) == "per-minute") break;
    if (std::string_view(child.name()) != "beat-unit-dot") continue;
    dot = dot * Fraction(1, 2);
    length = length + dot;
  }
  return length;
}

bool before_as_number(std::string_view a, std::string_view b) {
  const auto x = whole_number(a, 0, 1'000'000), y = whole_number(b, 0, 1'000'000);
  if (x && y && *x != *y) return *x < *y;
  if (x.has_value() != y.has_value()) return x.has_value();
  return a < b;
}

bool is_for_another_staff(const pugi::xml_node& element) {
  const std::string_view number = element.attribute("number").value();
  return !number.empty() && number != "1";
}

constexpr double slowest_quarters = 1, fastest_quarters = 2000;  // a minute; outside is no tempo

}  // namespace

MusicXmlPart::MusicXmlPart(std::string name, MusicXmlSigns& signs, std::size_t& note_count, const std::string& file)
    : signs_(signs), note_count_(note_count), file_(file) {
  part_.name = std::move(name);
}

void MusicXmlPart::read_measure(const pugi::xml_node& element) {
  part_.measures.emplace_back();
  raw_.emplace_back();
  cursor_ = chord_at_ = Fraction(0);
  number_measure(element);
  bool meter_known = false;
  for (const pugi::xml_node& node : element.children()) {
    child(node);
    // A meter in the middle of a measure holds from the next one.
    if (!meter_known || cursor_ == Fraction(0)) {
      measure().meter = meter_;
      measure().meter_printed = meter_printed_;
      meter_known = true;
    }
  }
  if (!meter_known) measure().meter = meter_;
  if (measure().meter == meter_) meter_printed_ = false;
}

// A measure without a number of its own goes on with the bar before it. Its place there is set when all lengths are
// known; `from_bar_begin` is negative until then.
void MusicXmlPart::number_measure(const pugi::xml_node& element) {
  const bool is_first = part_.measures.size() == 1;
  const auto number = whole_number(element.attribute("number").value(), 0, 99999);
  const bool has_own = number && (is_first || !says_yes(element, "implicit"));
  if (has_own)
    measure().number = *number;
  else if (!is_first)
    measure().number = part_.measures[part_.measures.size() - 2].number;
  if (!has_own && !is_first) measure().from_bar_begin = Fraction(-1);
}

void MusicXmlPart::child(const pugi::xml_node& element) {
  const std::string_view name = element.name();
  const std::size_t index = part_.measures.size() - 1;
  if (name == "note") {
    note(element);
  } else if (name == "backup") {
    move(element, -1);
  } else if (name == "forward") {
    move(element, 1);
  } else if (name == "attributes") {
    attributes(element);
  } else if (name == "barline") {
    signs_.barline(element, index);
  } else if (name == "direction") {
    signs_.direction(element, index, measure().number);
    tempo(element);
  } else if (name == "sound") {
    signs_.sound(element, index);
    tempo(element);
  }
}

void MusicXmlPart::move(const pugi::xml_node& element, int direction) {
  const auto duration = decimal_number(child_text(element, "duration"));
  if (!duration) return;
  cursor_ = cursor_ + Fraction(direction) * *duration / divisions_;
  if (cursor_ < Fraction(0)) cursor_ = Fraction(0);
  if (measure().length < cursor_) measure().length = cursor_;
}

Change& MusicXmlPart::change_here() {
  std::vector<Change>& changes = measure().changes;
  constexpr std::size_t most_changes = 1000;  // in one measure; of more, the last is written over
  const auto found =
      std::find_if(changes.begin(), changes.end(), [&](const Change& change) { return change.at == cursor_; });
  if (found != changes.end()) return *found;
  if (changes.size() == most_changes) return changes.back();
  changes.push_back({cursor_, {}, {}, {}});
  return changes.back();
}

void MusicXmlPart::attributes(const pugi::xml_node& attributes) {
  if (const auto divisions = decimal_number(child_text(attributes, "divisions")); divisions && Fraction(0) < *divisions)
    divisions_ = *divisions;
  for (const pugi::xml_node& element : attributes.children("key"))
    if (!is_for_another_staff(element)) key(element);
  for (const pugi::xml_node& element : attributes.children("time"))
    if (!is_for_another_staff(element)) time(element);
  for (const pugi::xml_node& element : attributes.children("transpose")) {
    if (is_for_another_staff(element)) continue;
    const int chromatic = whole_number(child_text(element, "chromatic"), -48, 48).value_or(0);
    const int octaves = whole_number(child_text(element, "octave-change"), -4, 4).value_or(0);
    if (const int sounds = chromatic + 12 * octaves; sounds >= -48 && sounds <= 48)
      change_here().sounds_semitones = sounds;
  }
}

void MusicXmlPart::key(const pugi::xml_node& key) {
  const auto fifths = whole_number(child_text(key, "fifths"), -12, 12);
  const auto mode = enum_named<Mode>(lower_ascii(stripped(child_text(key, "mode"))));
  const auto known = fifths ? key_of_signature(*fifths, mode.value_or(Mode::major)) : std::nullopt;
  if (known)
    change_here().key = known;
  else
    remarks_.add("this key signature is left out: it is none of a major or minor scale", measure().number);
}

void MusicXmlPart::time(const pugi::xml_node& time) {
  if (has_child(time, "senza-misura")) {
    meter_.reset();
    meter_printed_ = true;
    return;
  }
  int unit = 0;
  Fraction length;
  int beats = 0;
  for (const pugi::xml_node& child : time.children()) {
    const std::string_view name = child.name();
    if (name == "beats") beats = sum_of_beats(child.text().get());
    if (name != "beat-type") continue;
    const int type = whole_number(child.text().get(), 1, 64).value_or(0);
    if (beats == 0 || type == 0 || (type & (type - 1)) != 0) return;
    length = length + Fraction(beats, type);
    unit = std::max(unit, type);
  }
  const Fraction count = length * Fraction(unit);
  if (unit == 0 || count.den != 1 || count.num > 64) return;
  meter_ = Meter{static_cast<int>(count.num), unit};
  meter_printed_ = true;
}

void MusicXmlPart::tempo(const pugi::xml_node& direction) {
  const pugi::xml_node sound = std::string_view(direction.name()) == "sound" ? direction : direction.child("sound");
  std::optional<double> quarters;
  if (const auto tempo = decimal_number(sound.attribute("tempo").value())) quarters = tempo->value();
  for (const pugi::xml_node& type : direction.children("direction-type")) {
    const pugi::xml_node metronome = type.child("metronome");
    const auto unit = beat_unit_quarters(metronome);
    const auto beats = decimal_number(child_text(metronome, "per-minute"));
    if (!quarters && unit && beats) quarters = beats->value() * unit->value();
  }
  if (quarters && *quarters >= slowest_quarters && *quarters <= fastest_quarters)
    change_here().quarters_per_minute = quarters;
}

void MusicXmlPart::note(const pugi::xml_node& element) {
  if (++note_count_ > most_score_notes)
    refuse_score(file_, fmt::format("has more than {} notes", most_score_notes), "export one part or one song");
  RawNote raw = read_raw_note(element, divisions_);
  if (!raw.in_chord) chord_at_ = cursor_;
  raw.note.at = chord_at_;
  if (!raw.in_chord) cursor_ = cursor_ + raw.note.length;
  if (measure().length < cursor_) measure().length = cursor_;
  if (raw.sung || raw.cue || raw.unpitched) raw_.back().push_back(std::move(raw));
}

std::string_view MusicXmlPart::melody_voice() const {
  std::optional<std::string_view> lowest;
  for (const auto& notes : raw_)
    for (const RawNote& raw : notes)
      if (raw.sung && raw.staff == 1 && (!lowest || before_as_number(raw.voice, *lowest))) lowest = raw.voice;
  return lowest.value_or("1");
}

void MusicXmlPart::remark_left_out(const RawNote& raw, std::string_view voice, int bar) {
  if (raw.staff != 1)
    remarks_.add_whole("only the upper staff of the part is read");
  else if (raw.unpitched)
    remarks_.add("notes without pitch are left out", bar);
  else if (raw.cue)
    remarks_.add("cue notes are not sung: they are left out", bar);
  else if (raw.voice != voice)
    remarks_.add("a second voice on the staff is left out", bar);
}

void MusicXmlPart::take_line(std::size_t index, std::string_view voice) {
  Measure& measure = part_.measures[index];
  std::vector<Note> chord;
  const auto end_chord = [&] {
    if (chord.size() > 1) remarks_.add("of a chord, the top note is taken", measure.number);
    if (!chord.empty()) measure.notes.push_back(top_of_chord(chord));
    chord.clear();
  };
  for (const RawNote& raw : raw_[index]) {
    if (!raw.in_chord && raw.voice == voice) end_chord();
    if (!raw.sung || raw.staff != 1 || raw.voice != voice) {
      remark_left_out(raw, voice, measure.number);
      continue;
    }
    chord.push_back(raw.note);
  }
  end_chord();
  if (cut_overlaps(measure)) remarks_.add("notes of one voice overlap: the earlier one is shortened", measure.number);
}

Part MusicXmlPart::finish() {
  const std::string_view voice = melody_voice();
  bool any_unpitched = false, any_sung = false;
  for (std::size_t i = 0; i < raw_.size(); ++i) {
    for (const RawNote& raw : raw_[i]) {
      any_unpitched = any_unpitched || raw.unpitched;
      any_sung = any_sung || raw.sung;
    }
    take_line(i, voice);
    std::stable_sort(part_.measures[i].changes.begin(), part_.measures[i].changes.end(),
                     [](const Change& a, const Change& b) { return a.at < b.at; });
  }
  raw_.clear();
  part_.unpitched = any_unpitched && !any_sung;
  part_.warnings = remarks_.listed(file_);
  return std::move(part_);
}

}  // namespace firmus::score
