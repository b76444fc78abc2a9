#include <utility>

#include "firmus/error.hpp"
#include "firmus/take.hpp"

namespace firmus {

std::optional<Melody> melody_of(const Result& result, const std::string& name) {
  if (!result.melody) return std::nullopt;
  try {
    Melody melody = read_melody(result.melody->text, name);
    if (result.melody->bars) melody = passage_of(std::move(melody), *result.melody->bars, name);
    if (melody.notes.size() == static_cast<std::size_t>(result.melody->written_notes)) return melody;
  } catch (const InputError&) {
  }
  return std::nullopt;
}

}  // namespace firmus
