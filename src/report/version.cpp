#include "firmus/report.hpp"

namespace firmus {

std::string_view program_version() {
  return FIRMUS_VERSION;
}

std::string_view json_schema() {
  static constexpr std::string_view text =
#include "take_schema.inc"
      ;
  return text;
}

}  // namespace firmus
