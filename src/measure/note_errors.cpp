#include "measure/measure.hpp"

namespace firmus {

std::optional<double> error_against(const NoteErrors& errors, Reference reference) {
  switch (reference) {
    case Reference::concert:
      return errors.concert_cents;
    case Reference::own:
      return errors.own_cents;
    case Reference::interval:
      return errors.interval_cents;
  }
  return std::nullopt;
}

}  // namespace firmus
