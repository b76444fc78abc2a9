#include "folded_words.hpp"

#include <utf8proc.h>

#include <cstdlib>
#include <memory>

#include "base/ascii.hpp"

namespace firmus::studio {
namespace {

enum class CharacterKind { separator, small, capital, other_letter, figure, mark };

CharacterKind kind_of(utf8proc_int32_t code_point) {
  switch (utf8proc_category(code_point)) {
    case UTF8PROC_CATEGORY_LU:
    case UTF8PROC_CATEGORY_LT:
      return CharacterKind::capital;
    case UTF8PROC_CATEGORY_LL:
      return CharacterKind::small;
    case UTF8PROC_CATEGORY_LM:
    case UTF8PROC_CATEGORY_LO:
      return CharacterKind::other_letter;
    case UTF8PROC_CATEGORY_ND:
    case UTF8PROC_CATEGORY_NL:
    case UTF8PROC_CATEGORY_NO:
      return CharacterKind::figure;
    case UTF8PROC_CATEGORY_MN:
    case UTF8PROC_CATEGORY_MC:
    case UTF8PROC_CATEGORY_ME:
      return CharacterKind::mark;
    default:
      return CharacterKind::separator;
  }
}

std::string folded(std::string_view text) {
  utf8proc_uint8_t* mapped = nullptr;
  const auto options = static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT |
                                                      UTF8PROC_CASEFOLD | UTF8PROC_STRIPMARK | UTF8PROC_IGNORE);
  const utf8proc_ssize_t size = utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(text.data()),
                                             static_cast<utf8proc_ssize_t>(text.size()), &mapped, options);
  const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(mapped, &std::free);
  if (size < 0) return lower_ascii(text);
  return {reinterpret_cast<const char*>(mapped), static_cast<std::size_t>(size)};
}

/// One character of the text. A byte that is not UTF-8 counts as a letter.
struct Character {
  CharacterKind kind = CharacterKind::other_letter;
  std::size_t size = 1;
};
Character character_at(std::string_view text) {
  utf8proc_int32_t code_point = 0;
  const utf8proc_ssize_t size = utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(text.data()),
                                                 static_cast<utf8proc_ssize_t>(text.size()), &code_point);
  if (size <= 0) return {};
  return {kind_of(code_point), static_cast<std::size_t>(size)};
}

/// Splits at separators and at capitals; a run of figures or of letters is a part of its own.
class WordSplitter {
 public:
  explicit WordSplitter(std::string_view text) : text_(text) {}

  std::vector<FoldedWord> split() {
    for (std::size_t at = 0; at < text_.size();) {
      const Character character = character_at(text_.substr(at));
      add(character.kind, at);
      at += character.size;
    }
    end_part(text_.size());
    join_short_parts();
    return std::move(words_);
  }

 private:
  struct Part {
    std::size_t begin = 0;
    bool figures = false, after_separator = true;
    int length = 0;
  };

  void add(CharacterKind kind, std::size_t at) {
    if (kind == CharacterKind::separator) {
      end_part(at);
      after_separator_ = true;
      last_ = kind;
      return;
    }
    if (kind != CharacterKind::mark) {
      const bool figures = kind == CharacterKind::figure;
      const bool new_word = kind == CharacterKind::capital && last_ == CharacterKind::small;
      if (open_ && (figures != part_.figures || new_word)) end_part(at);
      if (new_word) after_separator_ = true;
      if (!open_) part_ = {at, figures, after_separator_, 0};
      open_ = true;
      after_separator_ = false;
      ++part_.length;
      last_ = kind;
    }
  }

  void end_part(std::size_t at) {
    if (!open_) return;
    parts_.push_back(part_);
    ends_.push_back(at);
    open_ = false;
  }

  /// "s10" stays one word: figures join letters of which there are one or two.
  void join_short_parts() {
    constexpr int most_joined = 2;
    bool last_is_short = false;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      const bool is_short = !parts_[i].figures && parts_[i].length <= most_joined;
      const bool joined = i > 0 && !parts_[i].after_separator && (is_short || last_is_short);
      if (joined)
        words_.back().end = ends_[i];
      else
        words_.push_back({{}, parts_[i].begin, ends_[i]});
      last_is_short = is_short || (joined && parts_[i].figures);
    }
    for (FoldedWord& word : words_) word.text = folded(text_.substr(word.begin, word.end - word.begin));
  }

  std::string_view text_;
  Part part_;
  bool open_ = false, after_separator_ = true;
  CharacterKind last_ = CharacterKind::separator;
  std::vector<Part> parts_;
  std::vector<std::size_t> ends_;
  std::vector<FoldedWord> words_;
};

}  // namespace

std::vector<FoldedWord> folded_words(std::string_view text) {
  return WordSplitter(text).split();
}

std::string folded_name(std::string_view text) {
  std::string name;
  for (const FoldedWord& word : folded_words(text)) name += word.text;
  return name;
}

}  // namespace firmus::studio
