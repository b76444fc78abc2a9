// What a student without a mark should do, in words to the student.
#include <fmt/format.h>

#include <array>
#include <string_view>

#include "base/base.hpp"
#include "report/mark_words.hpp"
#include "report/words.hpp"

namespace firmus::report {
namespace {

struct Remedy {
  std::string_view kind;  ///< of NotMeasured
  std::string_view what, advice;
};
constexpr std::array<Remedy, 9> remedies{{
    {"empty", "is empty", "Please send it again."},
    {"missing", "did not arrive", "Please send it again."},
    {"silence", "holds no singing or playing that could be heard",
     "Listen to it first. Then record again, closer to the microphone."},
    {"not_audio", "is not a sound file", "Please send the sound itself; renaming a file does not turn it into sound."},
    {"not_a_file", "is not a sound file", "Please send the sound itself."},
    {"phone_format", "is in a format that could not be opened", "Please send it as WAV, FLAC or MP3."},
    {"too_long", "is too long", "Please record only the song and send that."},
    {"rate", "has an unusual sample rate", "Please record it at 44.1 or 48 kHz."},
    {"channels", "has too many channels", "Please record it in mono or stereo."},
}};
constexpr Remedy other_fault{"", "could not be opened",
                             "Please record or export it again, and listen to it before you send it."};

const Remedy& remedy_for(const std::string& kind) {
  for (const Remedy& remedy : remedies)
    if (remedy.kind == kind) return remedy;
  return other_fault;
}

/// "Your recording of "Winter Gate"", or "Your second recording of ..." where there are several.
std::string recording_words(const std::string& song, int number, std::size_t of) {
  constexpr std::array<std::string_view, 5> ordinals{"first", "second", "third", "fourth", "fifth"};
  const auto place = static_cast<std::size_t>(number - 1);
  std::string which = "recording";
  if (of > 1 && place < ordinals.size()) which = fmt::format("{} recording", ordinals[place]);
  if (of > 1 && place >= ordinals.size()) which = fmt::format("recording number {}", number);
  return fmt::format("Your {} of {}", which, song);
}

std::string too_few_judged(const std::string& recording, const NoMark& no_mark, const MarkBreakdown& made) {
  if (made.missing >= made.unclear)
    return fmt::format("{} has only {} of the {} notes. Please record the whole song, from the first note to the last.",
                       recording, no_mark.judged, no_mark.written);
  return fmt::format(
      "Only {} of the {} notes could be heard clearly. {} needs to be made again: in a quiet room, closer to the "
      "microphone, one voice or instrument alone.",
      no_mark.judged, no_mark.written, recording);
}

const TakeGrade* counting_take(const PieceGrade& piece) {
  for (const TakeGrade& take : piece.takes)
    if (take.counts) return &take;
  return piece.takes.empty() ? nullptr : &piece.takes.back();
}

/// Which recording, of which song, and what about it.
std::string what_to_do(const PieceGrade& piece, const std::string& title) {
  const std::string song = title.empty() ? "this song" : fmt::format("\"{}\"", display_name(title));
  const TakeGrade* take = counting_take(piece);
  if (piece.status == GradeStatus::not_handed_in || !take || !take->no_mark)
    return fmt::format("There is no recording of {} from you yet. Please hand it in.", song);
  const NoMark& no_mark = *take->no_mark;
  const std::string recording = recording_words(song, take->take_number, piece.takes.size());
  switch (no_mark.reason) {
    case NoMark::Reason::not_measured: {
      const Remedy& remedy = remedy_for(no_mark.kind);
      return fmt::format("{} {}. {}", recording, remedy.what, remedy.advice);
    }
    case NoMark::Reason::other_melody:
      return fmt::format(
          "{} does not sound like that song. Listen to it: is it the right recording? If not, please send the one of "
          "{}. If it is, you need do nothing: your teacher will listen to it.",
          recording, song);
    case NoMark::Reason::doubtful_melody:
      return fmt::format(
          "{} may be of another song, so your teacher will listen to it. Check that it is the right one.", recording);
    case NoMark::Reason::too_few_judged:
      return too_few_judged(recording, no_mark, take->made);
    case NoMark::Reason::key_in_doubt:
      return fmt::format("In your recording of {} the key seems to have changed{}, so your teacher will listen to it.",
                         song, no_mark.changed_at_bar ? fmt::format(" at bar {}", *no_mark.changed_at_bar) : "");
  }
  return {};
}

}  // namespace

std::string teachers_mark_words(const PieceGrade& piece, const std::string& title) {
  if (!piece.teacher_percent) return {};
  std::string words = fmt::format("{}: your teacher's mark is {}.",
                                  title.empty() ? std::string("This song") : fmt::format("\"{}\"", display_name(title)),
                                  percent_words(piece.teacher_percent));
  for (const std::string& reason : piece.teacher_reasons)
    if (!reason.empty()) words += fmt::format(" Your teacher says: {}", display_name(reason));
  return words;
}

void add_unmarked(StudentReport& report) {
  for (std::size_t i = 0; i < report.grade->pieces.size(); ++i) {
    const PieceGrade& piece = report.grade->pieces[i];
    if (piece.status == GradeStatus::marked) continue;
    const std::string& title = report.book->pieces[i].title;
    if (piece.teacher_percent)
      report.by_teacher.push_back(teachers_mark_words(piece, title));
    else
      report.to_do.push_back(what_to_do(piece, title));
  }
}

}  // namespace firmus::report
