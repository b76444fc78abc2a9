#include "abc_voice.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common.hpp"
#include "endings.hpp"

namespace firmus::score {
namespace {

/// What a voice may hold at most; more is no song.
constexpr std::size_t most_abc_measures = most_played_measures;

bool same_bar_fits(const Measure& before, const Measure& measure) {
  return measure.meter && before.meter == measure.meter && measure.length < bar_length(*measure.meter) &&
         before.length < bar_length(*before.meter) && before.length + measure.length == bar_length(*measure.meter);
}

}  // namespace

Change& AbcVoice::change_here() {
  std::vector<Change>& changes = measure().changes;
  if (changes.empty() || !(changes.back().at == now_)) changes.push_back({now_, {}, {}, {}});
  return changes.back();
}

void AbcVoice::set_key(std::string_view value) {
  const AbcClef before = clef_;
  clef_ = parse_abc_clef(value, clef_);
  if (clef_.sounds_semitones != before.sounds_semitones) change_here().sounds_semitones = clef_.sounds_semitones;
  const auto key = parse_abc_key(value);
  if (!key) return;
  key_ = *key;
  in_bar_ = {};
  if (key_.key) change_here().key = key_.key;
}

void AbcVoice::field(char kind, std::string_view value) {
  switch (kind) {
    case 'K':
      return set_key(value);
    case 'V': {
      const AbcClef before = clef_;
      clef_ = parse_abc_clef(value, clef_);
      if (clef_.sounds_semitones != before.sounds_semitones) change_here().sounds_semitones = clef_.sounds_semitones;
      return;
    }
    case 'M':
      meter_ = parse_abc_meter(value);
      meter_printed_ = meter_given_ = true;
      if (now_ == Fraction(0) && measure().notes.empty()) {
        measure().meter = meter_;
        measure().meter_printed = true;
        meter_printed_ = false;
      }
      return;
    case 'L':
      if (std::string_view text = stripped(value); !text.empty()) unit_ = take_abc_length(text);
      return;
    case 'Q':
      if (const auto tempo = parse_abc_tempo(value, unit_.value_or(Fraction(1, 8))))
        change_here().quarters_per_minute = tempo;
      return;
    case 'P':
      if (const std::string_view letter = stripped(value); !letter.empty())
        parts_.emplace_back(letter.front(), measures_.size() - 1);
      return;
    case 'U':
      if (const std::size_t equals = value.find('='); equals != std::string_view::npos && !stripped(value).empty()) {
        std::string name(stripped(value.substr(equals + 1)));
        std::erase_if(name, [](char c) { return c == '!' || c == '+'; });
        symbols_[stripped(value).front()] = name;
      }
      return;
    case 'm':
      return remarks_.add_whole("macros (m:) are not read");
    default:
      return;
  }
}

void AbcVoice::close_measure(bool ends_ending) {
  if (now_ == Fraction(0) && measure().notes.empty()) {
    if (ends_ending && in_ending_ && measures_.size() > 1) measures_[measures_.size() - 2].signs.ending_ends = true;
    return;
  }
  measure().length = now_;
  if (ends_ending && in_ending_) measure().signs.ending_ends = true;
  if (measures_.size() >= most_abc_measures)
    refuse_score(file_, fmt::format("has more than {} bars", most_abc_measures), "give one tune");
  measures_.emplace_back();
  measure().meter = meter_;
  measure().meter_printed = meter_printed_;
  meter_printed_ = false;
  now_ = Fraction(0);
  in_bar_ = {};
  overlay_ = false;
  before_.reset();
  broken_ = Fraction(1);
}

void AbcVoice::begin_ending(std::string_view numbers) {
  if (in_ending_) close_measure(true);
  measure().signs.endings = ending_numbers(numbers);
  in_ending_ = true;
}

/// `run` is made of | : [ ].
void AbcVoice::bar(std::string_view run, std::string_view numbers) {
  const std::size_t first = run.find('|'), last = run.rfind('|');
  const auto colons = [](std::string_view part) { return static_cast<int>(std::count(part.begin(), part.end(), ':')); };
  int back = 0, forward = 0;
  if (first == std::string_view::npos)
    back = forward = colons(run) / 2;
  else
    back = colons(run.substr(0, first)), forward = colons(run.substr(last + 1));
  const bool is_double =
      std::count(run.begin(), run.end(), '|') > 1 || run.find_first_of("[]") != std::string_view::npos;
  const bool is_empty = now_ == Fraction(0) && measure().notes.empty();
  const bool ends = back > 0 || forward > 0 || is_double;
  close_measure(ends);
  if (back > 0 && measures_.size() > 1) {
    Signs& signs = measures_[measures_.size() - 2].signs;
    signs.repeat_times = std::max(signs.repeat_times, std::min(back, 98) + 1);
  }
  if (ends) in_ending_ = false;
  if (forward > 0) measure().signs.repeat_begins = true;
  after_repeat_.resize(measures_.size());
  after_repeat_.back() = (is_empty && after_repeat_.back()) || back > 0 || forward > 0;
  if (!numbers.empty()) begin_ending(numbers);
}

/// Characters of a bar line, with the numbers of an ending behind it; 0 where there is none.
std::size_t AbcVoice::take_bar(std::string_view text) {
  std::size_t end = 0;
  while (end < text.size() && (text[end] == '|' || text[end] == ':' || text[end] == ']' ||
                               (text[end] == '[' && end + 1 < text.size() && text[end + 1] == '|')))
    ++end;
  if (end == 0 || text.substr(0, end) == ":" || text.substr(0, end) == "]") return 0;
  std::size_t numbers = end;
  if (numbers < text.size() && text[numbers] == '[' && numbers + 1 < text.size() && text[numbers + 1] >= '1' &&
      text[numbers + 1] <= '9')
    ++numbers;
  std::size_t stop = numbers;
  if (numbers < text.size() && text[numbers] >= '1' && text[numbers] <= '9')
    stop = std::min(text.find_first_not_of("0123456789,-", numbers), text.size());
  bar(text.substr(0, end), text.substr(numbers, stop - numbers));
  return stop == numbers ? end : stop;
}

/// "[1", "[K:G]", "[|": characters taken; 0 where it is a chord.
std::size_t AbcVoice::take_bracket(std::string_view text) {
  if (text.size() < 2) return 1;
  if (text[1] == '|') return take_bar(text);
  if (text[1] >= '1' && text[1] <= '9') {
    const std::size_t end = std::min(text.find_first_not_of("0123456789,-", 1), text.size());
    if (!(now_ == Fraction(0) && measure().notes.empty())) close_measure(in_ending_);
    begin_ending(text.substr(1, end - 1));
    return end;
  }
  if (text.size() > 2 && text[2] == ':' && text[1] != '|') {
    const std::size_t end = std::min(text.find(']'), text.size());
    field(text[1], stripped(text.substr(3, end - std::min<std::size_t>(end, 3))));
    return std::min(end + 1, text.size());
  }
  return 0;
}

void AbcVoice::decorate(std::string_view name) {
  std::string letters;
  for (const char c : lower_ascii(name))
    if (c >= 'a' && c <= 'z') letters += c;
  const bool is_empty = now_ == Fraction(0) && measure().notes.empty() && measures_.size() > 1;
  Signs& here = measure().signs;
  Signs& end = is_empty ? measures_[measures_.size() - 2].signs : here;
  if (letters == "fermata" || letters == "invertedfermata") fermata_ = true;
  if (letters == "breath" || letters == "shortphrase" || letters == "mediumphrase" || letters == "longphrase" ||
      letters == "caesura") {
    if (!measure().notes.empty() && !measure().notes.back().grace) measure().notes.back().breath_after = true;
  }
  if (letters == "segno") here.segno = true;
  if (letters == "coda" && (codas_.empty() || codas_.back() + 1 != measures_.size()))
    codas_.push_back(measures_.size() - 1);
  if (letters == "fine") end.fine = true;
  if (letters == "dacoda" || letters == "tocoda") end.to_coda = true;
  if (letters == "dacapo" || letters == "dc" || letters.starts_with("dcal")) end.da_capo = true;
  if (letters == "dalsegno" || letters == "ds" || letters.starts_with("dsal")) end.dal_segno = true;
}

void AbcVoice::shorthand(char sign) {
  const auto found = symbols_.find(sign);
  if (found != symbols_.end()) decorate(found->second);
}

void AbcVoice::words(std::string_view line) {
  if (!unsung_.empty()) {
    sung_ = std::move(unsung_);
    unsung_.clear();
    verse_ = 0;
  }
  ++verse_;
  std::size_t at = 0;
  for (const AbcSyllable& syllable : abc_syllables(line)) {
    if (at >= sung_.size()) return;
    if (syllable.next_bar) {
      const std::size_t measure = at > 0 ? sung_[at - 1].measure : sung_.front().measure;
      if (at > 0)
        while (at < sung_.size() && sung_[at].measure == measure) ++at;
      continue;
    }
    const Sung& sung = sung_[at++];
    if (!syllable.text.empty()) measures_[sung.measure].notes[sung.note].words.push_back({verse_, syllable.text});
  }
}

/// Counted from 1, an upbeat is 0; two short measures around a repeat sign that make up a bar are one.
void AbcVoice::number_measures(Part& part) {
  place_upbeat(part);
  after_repeat_.resize(part.measures.size());
  int number = part.measures.front().continues_bar() ? 0 : 1;
  part.measures.front().number = number;
  for (std::size_t i = 1; i < part.measures.size(); ++i) {
    Measure& measure = part.measures[i];
    const Measure& before = part.measures[i - 1];
    const bool goes_on = i > 1 && after_repeat_[i] && measure.signs.endings.empty() && !before.continues_bar() &&
                         same_bar_fits(before, measure);
    if (goes_on)
      measure.from_bar_begin = before.length;
    else
      ++number;
    measure.number = number;
  }
}

Part AbcVoice::finish(std::string_view order) {
  close_measure(true);
  measures_.pop_back();
  Part part;
  part.name = name_;
  part.id = id_;
  part.measures = std::move(measures_);
  part.unpitched = clef_.percussion && !part.has_notes();
  for (std::size_t i = 0; i < codas_.size(); ++i) {
    if (codas_[i] >= part.measures.size()) continue;
    Signs& signs = part.measures[codas_[i]].signs;
    (i + 1 == codas_.size() ? signs.coda : signs.to_coda) = true;
  }
  if (!part.measures.empty()) number_measures(part);
  for (const char letter : order)
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      const std::size_t end = i + 1 < parts_.size() ? parts_[i + 1].second : part.measures.size();
      if (parts_[i].first == letter && parts_[i].second < end && end <= part.measures.size()) {
        part.order.emplace_back(parts_[i].second, end);
        break;
      }
    }
  for (Measure& measure : part.measures)
    if (cut_overlaps(measure)) remarks_.add("notes of one voice overlap: the earlier one is shortened", measure.number);
  part.warnings = remarks_.listed(file_);
  return part;
}

}  // namespace firmus::score
