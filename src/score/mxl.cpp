#include <fmt/format.h>
#include <zip.h>

#include <memory>
#include <optional>

#include "base/diagnostics.hpp"
#include "common.hpp"
#include "musicxml.hpp"
#include "xml_document.hpp"

namespace firmus::score {
namespace {

constexpr const char* container_name = "META-INF/container.xml";
constexpr std::int64_t most_entries = 10'000;

struct CloseZip {
  void operator()(zip_t* archive) const { zip_discard(archive); }
  void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};

class Archive {
 public:
  Archive(std::string_view bytes, const std::string& file) : file_(file) {
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    if (source) archive_.reset(zip_open_from_source(source, ZIP_RDONLY, &error));
    if (source && !archive_) zip_source_free(source);
    zip_error_fini(&error);
    if (!archive_) refuse_score(file, "is a damaged zip archive", "export the score again");
    if (zip_get_num_entries(archive_.get(), 0) > most_entries)
      refuse_score(file, fmt::format("is an archive of more than {} files, no compressed MusicXML", most_entries),
                   "export the score again");
  }

  /// Unpacked; none where there is no such entry. Refused when larger than the limit, whatever its header says.
  std::optional<std::string> content(const std::string& name) const {
    const std::int64_t index = zip_name_locate(archive_.get(), name.c_str(), 0);
    if (index < 0) return std::nullopt;
    const std::unique_ptr<zip_file_t, CloseZip> entry(
        zip_fopen_index(archive_.get(), static_cast<zip_uint64_t>(index), 0));
    if (!entry)
      refuse_score(file_, fmt::format("holds {}, which cannot be unpacked", in_quotes(one_line(name))),
                   "export the score again");
    std::string text;
    constexpr std::size_t block = 1 << 16;
    while (true) {
      const std::size_t before = text.size();
      text.resize(before + block);
      const std::int64_t count = zip_fread(entry.get(), text.data() + before, block);
      if (count < 0)
        refuse_score(file_, fmt::format("holds {}, which is damaged", in_quotes(one_line(name))),
                     "export the score again");
      text.resize(before + static_cast<std::size_t>(count));
      if (count == 0) return text;
      if (text.size() > largest_unpacked_bytes)
        refuse_score(
            file_, fmt::format("unpacks to more than {} MiB, the most a score may have", largest_unpacked_bytes >> 20),
            "export one song");
    }
  }

  /// The first score at the top of an archive without a container.
  std::optional<std::string> any_score() const {
    for (std::int64_t i = 0; i < zip_get_num_entries(archive_.get(), 0); ++i) {
      const char* raw = zip_get_name(archive_.get(), static_cast<zip_uint64_t>(i), 0);
      const std::string_view name = raw ? raw : "";
      if (name.starts_with("META-INF/") || name.starts_with("__MACOSX/")) continue;
      if (name.ends_with(".musicxml") || name.ends_with(".xml")) return std::string(name);
    }
    return std::nullopt;
  }

 private:
  const std::string& file_;
  std::unique_ptr<zip_t, CloseZip> archive_;
};

bool leaves_the_archive(std::string_view path) {
  if (path.starts_with('/') || path.find('\\') != std::string_view::npos || path.find(':') != std::string_view::npos)
    return true;
  while (!path.empty()) {
    const std::size_t slash = std::min(path.find('/'), path.size());
    if (path.substr(0, slash) == "..") return true;
    path.remove_prefix(std::min(slash + 1, path.size()));
  }
  return false;
}

/// The path of the first root file that is MusicXML; the media type may be left out.
std::optional<std::string> root_file(const std::string& container, const std::string& file) {
  pugi::xml_document document;
  load_xml(document, container, file);
  for (const pugi::xml_node& entry : document.document_element().child("rootfiles").children("rootfile")) {
    const std::string_view type = entry.attribute("media-type").value();
    const std::string path(entry.attribute("full-path").value());
    if (path.empty() || (!type.empty() && type.find("musicxml") == std::string_view::npos)) continue;
    if (leaves_the_archive(path))
      refuse_score(file, fmt::format("names {}, a path that leaves the archive", in_quotes(one_line(path))),
                   "export the score again");
    return path;
  }
  return std::nullopt;
}

}  // namespace

std::string unpacked_musicxml(std::string_view bytes, const std::string& file) {
  const Archive archive(bytes, file);
  const auto container = archive.content(container_name);
  const auto path = container ? root_file(*container, file) : archive.any_score();
  if (!path) refuse_score(file, "is a zip archive without a MusicXML score", "export the score as MusicXML");
  auto text = archive.content(*path);
  if (!text)
    refuse_score(file, fmt::format("names {}, which is not in the archive", in_quotes(one_line(*path))),
                 "export the score again");
  return std::move(*text);
}

}  // namespace firmus::score
