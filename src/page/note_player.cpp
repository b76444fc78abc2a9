#include "note_player.hpp"

#include <fmt/format.h>

#include "base/markup.hpp"
#include "firmus/theory.hpp"
#include "report/words.hpp"

namespace firmus::page {
namespace {

/// The sung frequency corrected by an error: the frequency at which the note would be in tune.
std::optional<double> without_error(const NoteResult& note, const std::optional<double>& error_cents) {
  if (!note.sung_hz || !error_cents) return std::nullopt;
  return transposed(Hertz(*note.sung_hz), Cents(-*error_cents));
}

std::string take_attribute(std::string_view take) {
  return take.empty() ? "" : fmt::format(" data-take=\"{}\"", markup_escaped(take));
}

}  // namespace

std::string playback_attributes(const Result& result, const NoteResult& note) {
  std::string text;
  if (note.onset_s) text += fmt::format(" data-onset-s=\"{:.3f}\"", *note.onset_s);
  if (note.end_s) text += fmt::format(" data-end-s=\"{:.3f}\"", *note.end_s);
  const auto written = without_error(note, note.errors.concert_cents);
  if (written) text += fmt::format(" data-written-hz=\"{:.3f}\"", *written);
  const auto own = note.errors.own_cents ? without_error(note, note.errors.own_cents) : written;
  if (own) text += fmt::format(" data-own-hz=\"{:.3f}\"", *own);
  if (note.written) {
    const std::string place = report::place_of(result, note),
                      name = *note.written + (place.empty() ? "" : ", " + place);
    text += fmt::format(" data-name=\"{}\"", markup_escaped(name));
  }
  return text;
}

void add_note_player(Html& html, const Result& result, std::string_view prefix) {
  bool any_playable = false;
  for (const NoteResult& note : result.notes)
    any_playable =
        any_playable || (note.index && note.status == NoteStatus::sung && note.sung_hz && note.errors.own_cents);
  if (any_playable) add_player_controls(html, prefix, {{"", "The recording"}}, result.settings.reference);
}

void add_player_controls(Html& html, std::string_view prefix, const std::vector<RecordingInput>& recordings,
                         Reference reference) {
  html.use_script();
  html.begin("div.sound", fmt::format(" data-prefix=\"{}\" role=\"group\" aria-label=\"Hear a note\" hidden=\"hidden\"",
                                      markup_escaped(prefix)));
  html.raw("<p><strong>Hear a note</strong> <output></output></p>\n<p>");
  const auto button = [&](std::string_view action, std::string_view words, std::string_view state) {
    html.raw(fmt::format("<button type=\"button\" data-do=\"{}\"{}>{}</button>\n", action, state, words));
  };
  button("previous", "Previous", "");
  button("next", "Next", "");
  button("written", "Correct note", "");
  button("own", "Your note", " disabled=\"disabled\"");
  button("both", "Compare", " disabled=\"disabled\"");
  html.raw(fmt::format("</p>\n<details><summary>Load your {}</summary>\n",
                       recordings.size() == 1 ? "recording" : "recordings"));
  for (const RecordingInput& recording : recordings)
    html.raw(
        fmt::format("<p><label>{} (stays on this computer): <input type=\"file\" accept=\"audio/*\"{}/>"
                    "</label></p>\n",
                    markup_escaped(recording.words), take_attribute(recording.take)));
  html.raw(
      fmt::format("<p><label>Correct note: <select><option value=\"ownHz\">in your key</option>"
                  "<option value=\"writtenHz\"{}>at concert pitch</option></select></label></p>\n</details>\n",
                  reference == Reference::concert ? " selected=\"selected\"" : ""));
  html.end("div");
}

}  // namespace firmus::page
