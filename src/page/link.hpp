// Relative addresses of pages within the folder of an assignment.
#pragma once
#include <string>

namespace firmus::page {

/// The relative address of a student's page in the same folder, percent-encoded (RFC 3986).
std::string link_to(const std::string& student);

}  // namespace firmus::page
