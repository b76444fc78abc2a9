#include "audio_format.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace firmus::audio {
namespace {

using namespace std::string_view_literals;

constexpr std::size_t inspected_bytes = 512;

struct Signature {
  std::size_t offset;
  std::string_view bytes;
  FileKind kind;
  std::string_view name;
  std::string_view ffmpeg_demuxer{};
};

constexpr std::array signatures = {
    Signature{4, "ftyp3g"sv, FileKind::phone, "a 3GP recording", "mov"},
    Signature{4, "ftypqt"sv, FileKind::phone, "a QuickTime film or recording", "mov"},
    Signature{4, "ftyphei"sv, FileKind::other, "a HEIC picture"},
    Signature{4, "ftypmif1"sv, FileKind::other, "a HEIC picture"},
    Signature{4, "ftypavif"sv, FileKind::other, "an AVIF picture"},
    Signature{4, "ftyp"sv, FileKind::phone, "an M4A or MP4 recording (AAC)", "mov"},
    Signature{4, "moov"sv, FileKind::phone, "a QuickTime film or recording", "mov"},
    Signature{4, "mdat"sv, FileKind::phone, "an MP4 recording, perhaps one that was broken off", "mov"},
    Signature{0, "#!AMR"sv, FileKind::phone, "an AMR recording", "amr"},
    Signature{0, "\x1A\x45\xDF\xA3"sv, FileKind::phone, "a WebM or Matroska recording", "matroska"},
    Signature{0, "\x30\x26\xB2\x75\x8E\x66\xCF\x11\xA6\xD9\x00\xAA\x00\x62\xCE\x6C"sv, FileKind::phone,
              "a Windows Media recording (WMA)", "asf"},
    Signature{0, "FLV\x01"sv, FileKind::phone, "a Flash video", "flv"},
    Signature{0, "ADIF"sv, FileKind::phone, "an AAC recording"},
    Signature{0, "MAC "sv, FileKind::phone, "a Monkey's Audio file", "ape"},
    Signature{0, "wvpk"sv, FileKind::phone, "a WavPack file", "wv"},
    Signature{0, "#!SILK_V3"sv, FileKind::phone, "a SILK voice message"},
    Signature{0, "\x02#!SILK_V3"sv, FileKind::phone, "a SILK voice message"},
    Signature{0, "caff"sv, FileKind::container, "a CAF recording", "caf"},
    Signature{8, "AVI "sv, FileKind::phone, "an AVI video", "avi"},
    Signature{8, "WEBP"sv, FileKind::other, "a WebP picture"},
    Signature{8, "WAVE"sv, FileKind::container, "a WAV file"},
    Signature{8, "AIF"sv, FileKind::container, "an AIFF file"},
    Signature{0, "OggS"sv, FileKind::container, "an Ogg file"},
    Signature{0, "fLaC"sv, FileKind::container, "a FLAC file"},
    Signature{0, "MThd"sv, FileKind::other, "a MIDI file: it holds notes, not sound"},
    Signature{0, "\xFF\xD8\xFF"sv, FileKind::other, "a JPEG picture"},
    Signature{0, "\x89PNG\r\n"sv, FileKind::other, "a PNG picture"},
    Signature{0, "GIF8"sv, FileKind::other, "a GIF picture"},
    Signature{0, "%PDF-"sv, FileKind::other, "a PDF document"},
    Signature{0, "PK\x03\x04"sv, FileKind::other, "a ZIP archive (or a document, or an .mxl score)"},
    Signature{0, "PK\x05\x06"sv, FileKind::other, "an empty ZIP archive"},
    Signature{0, "\x1F\x8B"sv, FileKind::other, "a gzip archive"},
    Signature{0, "7z\xBC\xAF\x27\x1C"sv, FileKind::other, "a 7z archive"},
    Signature{0, "Rar!"sv, FileKind::other, "a RAR archive"},
    Signature{0, "\x7F\x45LF"sv, FileKind::other, "a program"},
    Signature{0, "SQLite format 3"sv, FileKind::other, "a database"},
    Signature{0, "\xFF\xFE"sv, FileKind::text, "text (UTF-16)"},
    Signature{0, "\xFE\xFF"sv, FileKind::text, "text (UTF-16)"},
};

unsigned char byte(std::string_view text, std::size_t i) {
  return static_cast<unsigned char>(text[i]);
}

/// AAC in ADTS frames: the MPEG sync word with layer bits 00 (the other layers are MP1 to MP3).
bool is_adts(std::string_view head) {
  return head.size() > 2 && byte(head, 0) == 0xFF && (byte(head, 1) & 0xF6) == 0xF0 && (byte(head, 2) >> 2 & 15) < 13;
}

bool starts_without_case(std::string_view text, std::string_view lower) {
  return text.size() >= lower.size() && std::equal(lower.begin(), lower.end(), text.begin(), [](char want, char have) {
           return want == (have >= 'A' && have <= 'Z' ? have - 'A' + 'a' : have);
         });
}

bool is_text(std::string_view head) {
  return std::none_of(head.begin(), head.end(), [](char c) {
    const auto code = static_cast<unsigned char>(c);
    return code == 0x7F || (code < 0x20 && c != '\n' && c != '\r' && c != '\t' && c != '\f');
  });
}

std::string kind_of_text(std::string_view head) {
  if (head.starts_with("\xEF\xBB\xBF")) head.remove_prefix(3);
  head.remove_prefix(std::min(head.find_first_not_of(" \t\r\n"), head.size()));
  if (starts_without_case(head, "<!doctype html") || starts_without_case(head, "<html"))
    return "a web page (HTML), perhaps a log-in or error page saved in its place";
  if (starts_without_case(head, "<?xml") || starts_without_case(head, "<svg")) return "an XML document";
  if (starts_without_case(head, "{") || starts_without_case(head, "[")) return "text (JSON, it seems)";
  return "text";
}

}  // namespace

std::int64_t tag_length(const Bytes& bytes) {
  const std::string head = read_text(bytes, 0, 10);
  if (head.size() < 10 || !head.starts_with("ID3")) return 0;
  std::int64_t length = 0;
  for (std::size_t i = 6; i < 10; ++i) length = length << 7 | (byte(head, i) & 0x7F);
  return length + 10;
}

AudioFormat detect_format(const Bytes& bytes) {
  const std::string head = read_text(bytes, tag_length(bytes), inspected_bytes);
  for (const Signature& signature : signatures)
    if (head.size() >= signature.offset && std::string_view(head).substr(signature.offset).starts_with(signature.bytes))
      return {signature.kind, std::string(signature.name), std::string(signature.ffmpeg_demuxer)};
  if (is_adts(head)) return {FileKind::phone, "an AAC recording", "aac"};
  if (!head.empty() && head.find_first_not_of('\0') == std::string::npos)
    return {FileKind::other, "a file of zero bytes, as a broken-off copy leaves it"};
  if (!head.empty() && is_text(head)) return {FileKind::text, kind_of_text(head)};
  return {};
}

}  // namespace firmus::audio
