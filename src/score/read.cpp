#include <stdexcept>

#include "abc.hpp"
#include "common.hpp"
#include "midi.hpp"
#include "musicxml.hpp"

namespace firmus::score {
namespace {

std::string_view without_mark_and_space(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  return bytes.substr(std::min(bytes.find_first_not_of(" \t\r\n"), bytes.size()));
}

Score read_as(std::string_view bytes, Format format, const std::string& file, const std::optional<std::string>& tune) {
  if (tune && format != Format::abc)
    refuse_score(file, "--tune chooses from a book of ABC tunes, which this is not", "leave it out");
  switch (format) {
    case Format::compressed_musicxml:
      return read_musicxml(unpacked_musicxml(bytes, file), file);
    case Format::abc:
      return read_abc(bytes, file, tune);
    case Format::midi:
      return read_midi(bytes, file);
    default:
      return read_musicxml(bytes, file);
  }
}

}  // namespace

std::optional<Format> score_format(std::string_view bytes) {
  using namespace std::string_view_literals;
  if (bytes.starts_with("MThd") || (bytes.starts_with("RIFF") && bytes.substr(0, 12).ends_with("RMID")))
    return Format::midi;
  if (bytes.starts_with("PK\x03\x04")) return Format::compressed_musicxml;
  if (bytes.starts_with("\xFF\xFE<\0"sv) || bytes.starts_with("\xFE\xFF\0<"sv)) return Format::musicxml;
  if (without_mark_and_space(bytes).starts_with('<')) return Format::musicxml;
  if (looks_like_abc(without_mark_and_space(bytes))) return Format::abc;
  return std::nullopt;
}

Score read_score(std::string_view bytes, Format format, const std::string& file,
                 const std::optional<std::string>& tune) {
  if (bytes.size() > largest_file_bytes)
    refuse_score(file, "is larger than 16 MiB, the most a score may have", "export one song");
  try {
    return read_as(bytes, format, file, tune);
  } catch (const std::overflow_error&) {
    refuse_score(file, "has lengths that have no exact sum that fits", "export the score again");
  }
}

}  // namespace firmus::score
