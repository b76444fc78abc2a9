#include "firmus/result.hpp"

namespace firmus {

std::string_view to_string(Verdict verdict) {
  switch (verdict) {
    case Verdict::in_tune:
      return "in_tune";
    case Verdict::sharp:
      return "sharp";
    case Verdict::flat:
      return "flat";
    case Verdict::other_note:
      return "other_note";
    case Verdict::unclear:
      return "unclear";
  }
  return {};
}

}  // namespace firmus
