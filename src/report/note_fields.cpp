#include <array>
#include <stdexcept>

#include "row_fields.hpp"

namespace firmus::report {
namespace {

constexpr int beat_decimals = 4;
constexpr Format from_1{.minimum = 1};

constexpr auto sung_name(std::string_view column, std::string_view key) {
  return member<&NoteResult::sung>({column, key, "", "nearest note name, in the octave that sounds"});
}

/// The reader of the first key reads both, since vibrato has either both values or neither.
constexpr auto read_vibrato = [](NoteResult& note, const JsonIn& vibrato, std::string_view, const Format&, int) {
  const auto rate_hz = number_in(vibrato, "rate_hz"), extent_cents = number_in(vibrato, "extent_cents");
  if (rate_hz && extent_cents) note.vibrato = Vibrato{*rate_hz, *extent_cents};
};

// `sung` is listed twice, since the orders of columns and of keys are both fixed and differ.
constexpr std::array note_table{
    member<&NoteResult::index>(both("index", "", "written note, from 0; empty for a note that belongs to none"),
                               index_format),
    member<&NoteResult::section>(both("section", "", "section of the melody")),
    member<&NoteResult::pass>(both("pass", "", "which time the section is sung, from 1"), from_1),
    member<&NoteResult::bar>(both("bar", "", "printed number of the bar; 0 for the upbeat"), at_least_0()),
    member<&NoteResult::beat>(both("beat", "beats", "where in the bar, from 1"),
                              {.decimals = beat_decimals, .trimmed = true}),
    member<&NoteResult::phrase>(both("phrase", "", "phrase, from 1"), from_1),
    member<&NoteResult::word>(both("word", "", "its syllable")),
    member<&NoteResult::written>(both("written", "", "the written note")),
    member<&NoteResult::written_beats>(both("written_beats", "beats", "its written length"),
                                       {.decimals = beat_decimals, .trimmed = true, .minimum = 0}),
    member<&NoteResult::may_be_left_out>(
        key_only("may_be_left_out", "", "a grace note, or marked maybe in the melody: in no count, mean or share"),
        {.may_be_missing = true}),
    member<&NoteResult::status>(
        both("status", "", "sung, missing, extra, restart or optional_left_out; not_measured for a whole take")),
    member<&NoteResult::verdict>(
        both("verdict", "", "in_tune, sharp, flat, other_note or unclear; empty where none is due")),
    member<&NoteResult::unclear_reason>(
        both("unclear_reason", "", "too_short, noisy, unstable, two_voices, clipped, cut_off or joined")),
    sung_name("sung", ""),
    member<&NoteResult::onset_s>(both("onset_s", "s", "where it begins in the take"), at_least_0(seconds_decimals)),
    member<&NoteResult::end_s>(both("end_s", "s", "where it ends in the take"), at_least_0(seconds_decimals)),
    member<&NoteResult::sung_hz>(both("sung_hz", "Hz", "centre of its pitch over the steady part"),
                                 above_0(hz_decimals)),
    sung_name("", "sung"),
    member<&NoteResult::errors, &NoteErrors::concert_cents>({"error_concert_cents", "error_cents.concert", "cents",
                                                             "sung minus written at concert pitch, in the octave sung"},
                                                            cents_format),
    member<&NoteResult::errors, &NoteErrors::own_cents>(
        {"error_own_cents", "error_cents.own", "cents", "the same against the take's own centre line"}, cents_format),
    member<&NoteResult::errors, &NoteErrors::interval_cents>(
        {"error_interval_cents", "error_cents.interval", "cents",
         "sung minus written interval, from the last judged written note before"},
        cents_format),
    member<&NoteResult::interval_name>(
        {"interval", "interval.name", "", "written interval into this note, by spelling"}),
    member<&NoteResult::interval_direction>({"direction", "interval.direction", "", "its direction: up, down or same"}),
    member<&NoteResult::interval_written_cents>(
        key_only("interval.written_cents", "cents", "its written size, upwards positive"), cents_format),
    member<&NoteResult::se_cents>(both("se_cents", "cents", "standard error of the sung pitch"),
                                  at_least_0(cents_decimals)),
    member<&NoteResult::spread_cents>(
        both("spread_cents", "cents", "standard deviation of the pitch within the note, vibrato included"),
        at_least_0(cents_decimals)),
    member<&NoteResult::slope_cents_per_s>(
        both("slope_cents_per_s", "cents/s", "how the pitch moves over the steady part"), cents_format),
    member<&NoteResult::scoop_cents>(
        both("scoop_cents", "cents", "where the note began against its centre; empty within 20 cents"), cents_format),
    read_by(
        computed<NoteResult>(
            {"vibrato_rate_hz", "vibrato.rate_hz", "Hz", "cycles of vibrato a second; empty when there is none"},
            above_0(hz_decimals),
            [](const NoteResult& note) { return note.vibrato ? std::optional(note.vibrato->rate_hz) : std::nullopt; }),
        read_vibrato),
    computed<NoteResult>(
        {"vibrato_extent_cents", "vibrato.extent_cents", "cents", "vibrato either way from the centre"},
        at_least_0(cents_decimals),
        [](const NoteResult& note) { return note.vibrato ? std::optional(note.vibrato->extent_cents) : std::nullopt; }),
    member<&NoteResult::level_dbfs>(both("level_dbfs", "dBFS", "level, decibels below full scale"), {.decimals = 1}),
    member<&NoteResult::match_confidence>(
        both("match_confidence", "share", "how sure it is that this is that written note, 0 to 1"), share_format),
};

}  // namespace

std::span<const Field<NoteResult>> note_fields() {
  return note_table;
}

Cell note_cell(const NoteResult& note, std::string_view column) {
  for (const Field<NoteResult>& field : note_table)
    if (field.column == column) return field.cell(note);
  throw std::logic_error("no such column: " + std::string(column));
}

}  // namespace firmus::report
