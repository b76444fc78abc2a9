#include "zip_files.hpp"

#include <zip.h>

std::string zip_archive(const std::vector<std::pair<std::string, std::string>>& files) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* target = zip_source_buffer_create(nullptr, 0, 0, &error);
  zip_t* archive = zip_open_from_source(target, ZIP_TRUNCATE, &error);
  zip_source_keep(target);
  for (const auto& [name, content] : files)
    zip_file_add(archive, name.c_str(), zip_source_buffer(archive, content.data(), content.size(), 0),
                 ZIP_FL_ENC_UTF_8);
  zip_close(archive);
  zip_source_open(target);
  std::string bytes;
  char block[4096];
  for (zip_int64_t count = 0; (count = zip_source_read(target, block, sizeof block)) > 0;)
    bytes.append(block, static_cast<std::size_t>(count));
  zip_source_close(target);
  zip_source_free(target);
  zip_error_fini(&error);
  return bytes;
}
