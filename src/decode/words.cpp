#include "decode/decode.hpp"

namespace firmus {

std::string_view to_string(NoteStatus status) {
  switch (status) {
    case NoteStatus::sung:
      return "sung";
    case NoteStatus::missing:
      return "missing";
    case NoteStatus::extra:
      return "extra";
    case NoteStatus::restart:
      return "restart";
    case NoteStatus::optional_left_out:
      return "optional_left_out";
  }
  return "";
}

std::string_view to_string(AlignmentDecision decision) {
  switch (decision) {
    case AlignmentDecision::sure:
      return "sure";
    case AlignmentDecision::listen:
      return "listen";
    case AlignmentDecision::not_this_melody:
      return "not this melody";
  }
  return "";
}

}  // namespace firmus
