#include "trace.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <system_error>

#include "base/base.hpp"
#include "firmus/error.hpp"

namespace firmus::take {
namespace {

double time_of(std::size_t frame) {
  return static_cast<double>(frame) * Evidence::hop_s;
}

std::string frames_csv(const Evidence& evidence, const Decoded& decoded, std::span<const float> refined_hz) {
  std::string csv = "time_s,level_dbfs,line_hz,clarity,chosen_hz,refined_hz,onset_logit,offset_logit\n";
  for (std::size_t i = 0; i < evidence.frames(); ++i)
    csv += fmt::format("{:.3f},{:.1f},{:.3f},{:.3f},{:.3f},{:.4f},{:.2f},{:.2f}\n", time_of(i), evidence.level_db[i],
                       evidence.f0_track_hz[i], evidence.clarity[i], decoded.f0_hz[i], refined_hz[i],
                       evidence.onset_logit[i], evidence.offset_logit[i]);
  return csv;
}

std::string candidates_csv(const Evidence& evidence) {
  std::string csv = "time_s,f0_hz,strength\n";
  for (std::size_t i = 0; i < evidence.frames(); ++i)
    for (const auto& candidate : evidence.at(i))
      csv += fmt::format("{:.3f},{:.3f},{:.3f}\n", time_of(i), candidate.f0_hz, candidate.strength);
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

void write_trace(const std::string& dir, const Evidence& evidence, const Decoded& decoded,
                 std::span<const float> refined_hz) {
  std::error_code error;
  std::filesystem::create_directories(dir, error);
  if (error) throw WriteError(fmt::format("{}: cannot be made: {}", display_name(dir), error.message()));
  write_whole_file(dir + "/frames.csv", frames_csv(evidence, decoded, refined_hz));
  write_whole_file(dir + "/candidates.csv", candidates_csv(evidence));
  write_whole_file(dir + "/notes.csv", notes_csv(decoded));
}

}  // namespace firmus::take
