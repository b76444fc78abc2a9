// Reads a saved result.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "firmus/result.hpp"

namespace firmus {

/// Reads the output of as_json (schema firmus.take/1), measured or not. Unknown keys are ignored, and keys added after
/// the first version of the schema may be missing. Numbers are rounded as written; `f0_track_hz`, and the settings of a
/// take that was not measured, are not saved and keep their defaults. as_json of the returned value gives the same text
/// again if this version wrote it. Throws InputError with the location when the text is damaged or has another schema,
/// for a value of the wrong type, an unknown name of an enumerator or an index outside the melody, above 16 MiB, and
/// for more than 64 levels of nesting.
Result read_result(std::string_view json, const std::string& name);

}  // namespace firmus
