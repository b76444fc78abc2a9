#include "firmus/report.hpp"

namespace firmus {

std::string_view program_version() {
  return FIRMUS_VERSION;
}

}  // namespace firmus
