// A saved result back as a Result.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "firmus/result.hpp"

namespace firmus {

/// Reads what as_json wrote (schema firmus.take/1), measured or not. Unknown keys are passed over, and keys that came
/// later than the schema may be missing. Figures are as rounded as they were written; the pitch line, and the settings
/// of a take that was not measured, are not in there. as_json of it is the same text again where this version wrote it.
/// Throws InputError with the place where the text is damaged, of another schema, has a wrong type or a name that is
/// none, or holds an index outside its melody; also over 16 MiB and when nested deeper than 64.
Result read_result(std::string_view json, const std::string& name);

}  // namespace firmus
