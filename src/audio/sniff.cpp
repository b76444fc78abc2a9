#include "sniff.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace firmus {
namespace {

using namespace std::string_view_literals;

constexpr std::size_t looked_at_bytes = 512;

struct Signature {
  std::size_t offset;
  std::string_view bytes;
  Sort sort;
  std::string_view what;
};

constexpr std::array signatures = {
    Signature{4, "ftyp3g"sv, Sort::phone, "a 3GP recording"},
    Signature{4, "ftypqt"sv, Sort::phone, "a QuickTime film or recording"},
    Signature{4, "ftyphei"sv, Sort::other, "a HEIC picture"},
    Signature{4, "ftypmif1"sv, Sort::other, "a HEIC picture"},
    Signature{4, "ftypavif"sv, Sort::other, "an AVIF picture"},
    Signature{4, "ftyp"sv, Sort::phone, "an M4A or MP4 recording (AAC)"},
    Signature{4, "moov"sv, Sort::phone, "a QuickTime film or recording"},
    Signature{4, "mdat"sv, Sort::phone, "an MP4 recording, perhaps one that was broken off"},
    Signature{0, "#!AMR"sv, Sort::phone, "an AMR recording"},
    Signature{0, "\x1A\x45\xDF\xA3"sv, Sort::phone, "a WebM or Matroska recording"},
    Signature{0, "\x30\x26\xB2\x75\x8E\x66\xCF\x11\xA6\xD9\x00\xAA\x00\x62\xCE\x6C"sv, Sort::phone,
              "a Windows Media recording (WMA)"},
    Signature{0, "FLV\x01"sv, Sort::phone, "a Flash video"},
    Signature{0, "ADIF"sv, Sort::phone, "an AAC recording"},
    Signature{0, "MAC "sv, Sort::phone, "a Monkey's Audio file"},
    Signature{0, "wvpk"sv, Sort::phone, "a WavPack file"},
    Signature{0, "#!SILK_V3"sv, Sort::phone, "a SILK voice message"},
    Signature{0, "\x02#!SILK_V3"sv, Sort::phone, "a SILK voice message"},
    Signature{0, "caff"sv, Sort::codec, "a CAF recording"},
    Signature{8, "AVI "sv, Sort::phone, "an AVI video"},
    Signature{8, "WEBP"sv, Sort::other, "a WebP picture"},
    Signature{8, "WAVE"sv, Sort::codec, "a WAV file"},
    Signature{8, "AIF"sv, Sort::codec, "an AIFF file"},
    Signature{0, "OggS"sv, Sort::codec, "an Ogg file"},
    Signature{0, "fLaC"sv, Sort::codec, "a FLAC file"},
    Signature{0, "MThd"sv, Sort::other, "a MIDI file: it holds notes, not sound"},
    Signature{0, "\xFF\xD8\xFF"sv, Sort::other, "a JPEG picture"},
    Signature{0, "\x89PNG\r\n"sv, Sort::other, "a PNG picture"},
    Signature{0, "GIF8"sv, Sort::other, "a GIF picture"},
    Signature{0, "%PDF-"sv, Sort::other, "a PDF document"},
    Signature{0, "PK\x03\x04"sv, Sort::other, "a ZIP archive (or a document, or an .mxl score)"},
    Signature{0, "PK\x05\x06"sv, Sort::other, "an empty ZIP archive"},
    Signature{0, "\x1F\x8B"sv, Sort::other, "a gzip archive"},
    Signature{0, "7z\xBC\xAF\x27\x1C"sv, Sort::other, "a 7z archive"},
    Signature{0, "Rar!"sv, Sort::other, "a RAR archive"},
    Signature{0, "\x7F\x45LF"sv, Sort::other, "a program"},
    Signature{0, "SQLite format 3"sv, Sort::other, "a database"},
    Signature{0, "\xFF\xFE"sv, Sort::text, "text (UTF-16)"},
    Signature{0, "\xFE\xFF"sv, Sort::text, "text (UTF-16)"},
};

unsigned char byte(std::string_view text, std::size_t i) {
  return static_cast<unsigned char>(text[i]);
}

/// MPEG audio whose layer bits are 00 is AAC in ADTS frames; the other layers are MP1 to MP3.
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

Guess sniff(const Bytes& bytes) {
  const std::string head = read_text(bytes, tag_length(bytes), looked_at_bytes);
  for (const Signature& signature : signatures)
    if (head.size() >= signature.offset && std::string_view(head).substr(signature.offset).starts_with(signature.bytes))
      return {signature.sort, std::string(signature.what)};
  if (is_adts(head)) return {Sort::phone, "an AAC recording"};
  if (!head.empty() && head.find_first_not_of('\0') == std::string::npos)
    return {Sort::other, "a file of zero bytes, as a broken-off copy leaves it"};
  if (!head.empty() && is_text(head)) return {Sort::text, kind_of_text(head)};
  return {};
}

}  // namespace firmus
