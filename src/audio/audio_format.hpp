// Detects the format of a file from its first bytes, to explain why libsndfile cannot read it.
#pragma once
#include <string>

#include "bytes.hpp"

namespace firmus::audio {

enum class FileKind {
  phone,      ///< audio in a format that phones write and libsndfile does not read
  container,  ///< a container that libsndfile reads, though perhaps not the codec in it
  other,      ///< a known format without sound: a picture, a document, an archive
  text,       ///< readable text
  unknown
};

struct AudioFormat {
  FileKind kind = FileKind::unknown;
  std::string name;              ///< "an M4A or MP4 file (AAC)"; empty when unknown
  std::string ffmpeg_demuxer{};  ///< what ffmpeg calls the container (-f); empty where it does not read it
};

/// Signatures as registered or specified: ISO 14496-12 (ftyp), ISO 13818-7 (ADTS), RFC 4867 (AMR), RFC 8794 (EBML),
/// ASF 1.2 (GUID), and those of common file types.
AudioFormat detect_format(const Bytes& bytes);

/// Length of an ID3v2 tag at the start (id3.org, 2.4.0, section 3.1) with its header; 0 if there is none.
std::int64_t tag_length(const Bytes& bytes);

}  // namespace firmus::audio
