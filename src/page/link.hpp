// Addresses within the folder of an assignment.
#pragma once
#include <string>

namespace firmus::page {

/// The address of a student's page beside this one, as a link has it (percent-encoded, RFC 3986).
std::string link_to(const std::string& student);

}  // namespace firmus::page
