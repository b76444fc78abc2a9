#include <fmt/format.h>

#include <system_error>

#include "base/base.hpp"
#include "base/partial_files.hpp"
#include "base/system/files.hpp"
#include "firmus/error.hpp"

namespace firmus {
namespace {

[[noreturn]] void fail_to_write(const std::string& path, const std::error_code& error) {
  throw WriteError(fmt::format("{}: cannot be written: {}", display_name(path), error.message()));
}

}  // namespace

void write_whole_file(const std::string& path, std::string_view content) {
  const std::string temporary = partial_path(path);
  std::error_code error;
  system::File file = system::File::open(temporary, system::OpenFor::replacing, error);
  if (error) fail_to_write(path, error);
  error = file.write(content);
  if (!error) error = file.sync();
  if (const std::error_code close_error = file.close(); !error) error = close_error;
  if (!error) error = system::rename_file(temporary, path);
  if (error) {
    system::remove_file(temporary);
    fail_to_write(path, error);
  }
}

}  // namespace firmus
