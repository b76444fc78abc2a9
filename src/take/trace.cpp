#include "trace.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <system_error>

#include "base/base.hpp"
#include "base/frames.hpp"
#include "firmus/error.hpp"

namespace firmus::take {
namespace {

std::string frames_csv(const Observations& observed, const Decoded& decoded, std::span<const float> refined_hz) {
  std::string csv = "time_s,level_dbfs,f0_track_hz,nsdf_peak,decoded_hz,refined_hz,onset_logit,offset_logit\n";
  for (std::size_t i = 0; i < observed.frames(); ++i)
    csv +=
        fmt::format("{:.3f},{:.1f},{:.3f},{:.3f},{:.3f},{:.4f},{:.2f},{:.2f}\n", time_of_frame(i),
                    observed.evidence.level_db[i], observed.f0_track.f0_hz[i], observed.f0_track.nsdf_peak[i],
                    decoded.f0_hz[i], refined_hz[i], observed.onsets.onset_logit[i], observed.onsets.offset_logit[i]);
  return csv;
}

std::string candidates_csv(const Evidence& evidence) {
  std::string csv = "time_s,f0_hz,nsdf_peak\n";
  for (std::size_t i = 0; i < evidence.frames(); ++i)
    for (const auto& candidate : evidence.at(i))
      csv += fmt::format("{:.3f},{:.3f},{:.3f}\n", time_of_frame(i), candidate.f0_hz, candidate.nsdf_peak);
  return csv;
}

std::string notes_csv(const Decoded& decoded) {
  std::string csv = "onset_s,end_s,status,written,try,coarse_hz,transposition_semitones,match_confidence\n";
  for (const auto& note : decoded.notes)
    csv += fmt::format("{:.3f},{:.3f},{},{},{},{:.3f},{:.2f},{:.3f}\n", note.onset_s, note.end_s,
                       to_string(note.status), note.written ? std::to_string(*note.written) : "", note.attempt,
                       note.coarse_hz, note.transposition_semitones, note.match_confidence);
  return csv;
}

}  // namespace

void write_trace(const std::string& dir, const Observations& observed, const Decoded& decoded,
                 std::span<const float> refined_hz) {
  std::error_code error;
  std::filesystem::create_directories(dir, error);
  if (error) throw WriteError(fmt::format("{}: cannot be made: {}", display_name(dir), error.message()));
  write_whole_file(dir + "/frames.csv", frames_csv(observed, decoded, refined_hz));
  write_whole_file(dir + "/candidates.csv", candidates_csv(observed.evidence));
  write_whole_file(dir + "/notes.csv", notes_csv(decoded));
}

}  // namespace firmus::take
