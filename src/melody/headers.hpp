// Recognises and reads the header lines of a melody text.
#pragma once
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "parsed_melody_builder.hpp"
#include "source.hpp"

namespace firmus::melody {

struct HeaderLine {
  std::string_view name;   ///< as written, without the colon
  std::string_view value;  ///< without white space around it
  SourcePosition name_position, value_position;
};

/// The line as a header: words that are not notes, a colon, then white space or the end of the line. The name may be
/// unknown.
std::optional<HeaderLine> header_of(const Line& line);

/// Whether `name` is the name of a header ("title", "words 2"), ignoring case.
bool is_known_header(std::string_view name);

/// "96" means 96 units a minute, "Andante" 76 (the middle of what metronomes print for the word), "3 = 60" sixty times
/// three units a minute. None when the text is not a tempo.
std::optional<Tempo> parse_tempo(std::string_view text);

/// "3/4"; none for any other text.
std::optional<Meter> parse_meter(std::string_view text);

class HeaderReader {
 public:
  HeaderReader(ParsedMelodyBuilder& builder, Diagnostics& errors) : builder_(builder), errors_(errors) {}
  void read(const HeaderLine& header);

 private:
  bool is_allowed_here(const std::string& name, const HeaderLine& header);
  void words(const HeaderLine& header);
  void title(const HeaderLine& header);
  void key(const HeaderLine& header);
  void meter(const HeaderLine& header);
  void tempo(const HeaderLine& header);
  void section(const HeaderLine& header);
  void order(const HeaderLine& header);
  void tuning(const HeaderLine& header);
  void a4(const HeaderLine& header);
  void sounds(const HeaderLine& header);
  void bar(const HeaderLine& header);
  void reference(const HeaderLine& header);
  void drill(const HeaderLine& header);
  void report_bad_value(const HeaderLine& header, std::string_view is_what, std::string remedy);

  struct Kind;
  static const std::map<std::string, Kind, std::less<>>& kinds();

  ParsedMelodyBuilder& builder_;
  Diagnostics& errors_;
  std::map<std::string, std::size_t, std::less<>>
      first_seen_at_;  ///< by name: ParsedMelodyBuilder::token_count() there
};

}  // namespace firmus::melody
