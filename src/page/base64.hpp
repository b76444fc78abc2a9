// Base64 (RFC 4648), for the hashes of a Content-Security-Policy.
#pragma once
#include <string>
#include <string_view>

namespace firmus::page {

std::string base64_of(std::string_view bytes);

/// 'sha256-...': the source expression with which a policy allows an inline script or style of these bytes (Content
/// Security Policy Level 2, 4.2.5).
std::string policy_hash(std::string_view text);

}  // namespace firmus::page
