#include "pattern.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/ascii.hpp"
#include "base/diagnostics.hpp"

namespace firmus::studio {
namespace {

constexpr std::size_t longest_pattern = 256;
constexpr std::size_t most_figures = 9;

bool is_figure(char c) {
  return c >= '0' && c <= '9';
}
bool is_word(char c) {
  return is_figure(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80;
}

[[noreturn]] void reject(const SourceLocation& place, std::string what, std::string remedy) {
  throw InputError(Problem{place, std::move(what), std::move(remedy)});
}

}  // namespace

bool is_word_boundary(std::string_view text, std::size_t at) {
  return at == 0 || at == text.size() || !is_word(text[at - 1]) || !is_word(text[at]);
}

Pattern::Pattern(std::string_view text, const SourceLocation& place) {
  constexpr std::string_view remedy = "use {student} once, {piece}, {try} and *, such as \"{student}-{piece}*\"";
  if (text.size() > longest_pattern) reject(place, "the pattern is longer than 256 bytes", std::string(remedy));
  std::size_t students = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end =
        text[at] == '{' ? text.find('}', at) : std::min(text.find_first_of("{*", at + (text[at] == '*')), text.size());
    if (end == std::string_view::npos)
      reject(place, fmt::format("a brace is left open in the pattern {}", in_quotes(text)), std::string(remedy));
    if (text[at] == '*') {
      tokens_.push_back({Kind::anything, {}});
      ++at;
      continue;
    }
    if (text[at] != '{') {
      tokens_.push_back({Kind::text, lower_ascii(text.substr(at, end - at))});
      at = end;
      continue;
    }
    const std::string_view word = text.substr(at + 1, end - at - 1);
    if (word == "student") {
      student_ = tokens_.size();
      ++students;
      tokens_.push_back({Kind::student, {}});
    } else if (word == "piece" || word == "try") {
      tokens_.push_back({word == "piece" ? Kind::piece : Kind::attempt, {}});
    } else {
      reject(place, fmt::format("the pattern has no {}", in_quotes(text.substr(at, end - at + 1))),
             std::string(remedy));
    }
    at = end + 1;
  }
  if (students != 1)
    reject(place,
           fmt::format("the pattern {} has {} {{student}}", in_quotes(text), students == 0 ? "no" : "more than one"),
           std::string(remedy));
}

bool Pattern::names_the_piece() const {
  return std::any_of(tokens_.begin(), tokens_.end(), [](const Token& token) { return token.kind == Kind::piece; });
}

/// Matches a range of tokens with a range of the name by backtracking. Failed states (token, position) are stored, so
/// each is tried once.
class Pattern::Span {
 public:
  Span(const Pattern& pattern, std::string_view name, std::string_view piece)
      : pattern_(pattern), name_(name), piece_(piece) {}

  /// The positions in the name at which tokens [0, last) can end, when they start at 0.
  std::vector<std::size_t> ends_of(std::size_t last) {
    std::vector<bool> can(name_.size() + 1, false);
    can[0] = true;
    for (std::size_t t = 0; t < last; ++t) {
      std::vector<bool> next(can.size(), false);
      for (std::size_t at = 0; at < can.size(); ++at)
        if (can[at])
          for (const std::size_t end : steps(t, at)) next[end] = true;
      can = std::move(next);
    }
    std::vector<std::size_t> places;
    for (std::size_t at = 0; at < can.size(); ++at)
      if (can[at]) places.push_back(at);
    return places;
  }

  /// Whether tokens [first, last) match the name exactly from `begin` to `end`; sets `attempt` when {try} is among
  /// them.
  bool fits(std::size_t first, std::size_t last, std::size_t begin, std::size_t end, std::optional<int>& attempt) {
    dead_.assign((last + 1) * (name_.size() + 1), false);
    last_ = last;
    end_ = end;
    return go(first, begin, attempt);
  }

 private:
  bool go(std::size_t token, std::size_t at, std::optional<int>& attempt) {
    if (token == last_) return at == end_;
    const std::size_t place = token * (name_.size() + 1) + at;
    if (dead_[place]) return false;
    for (const std::size_t end : steps(token, at)) {
      if (end > end_) continue;
      if (!go(token + 1, end, attempt)) continue;
      if (pattern_.tokens_[token].kind == Kind::attempt) attempt = std::stoi(std::string(name_.substr(at, end - at)));
      return true;
    }
    dead_[place] = true;
    return false;
  }

  /// The positions at which a token that begins at `at` can end.
  std::vector<std::size_t> steps(std::size_t token, std::size_t at) const {
    const Token& one = pattern_.tokens_[token];
    std::vector<std::size_t> ends;
    switch (one.kind) {
      case Kind::text:
        if (starts(at, one.text)) ends.push_back(at + one.text.size());
        break;
      case Kind::piece:
        if (starts(at, piece_) && is_word_boundary(name_, at) && is_word_boundary(name_, at + piece_.size()))
          ends.push_back(at + piece_.size());
        break;
      case Kind::attempt:
        add_figures(at, ends);
        break;
      case Kind::anything:
        for (std::size_t end = at; end <= name_.size(); ++end) ends.push_back(end);
        break;
      case Kind::student:
        break;  // handled in `match`
    }
    return ends;
  }
  bool starts(std::size_t at, std::string_view text) const {
    return lower_ascii(name_.substr(at, text.size())) == text;
  }
  /// A whole run of digits, at most 9, so that "take12" does not match as 1.
  void add_figures(std::size_t at, std::vector<std::size_t>& ends) const {
    if (at > 0 && is_figure(name_[at - 1])) return;
    std::size_t end = at;
    while (end < name_.size() && is_figure(name_[end])) ++end;
    if (end > at && end - at <= most_figures) ends.push_back(end);
  }

  const Pattern& pattern_;
  std::string_view name_;
  std::string piece_;
  std::vector<bool> dead_;
  std::size_t last_ = 0, end_ = 0;
};

std::optional<Pattern::Found> Pattern::match(std::string_view name, std::string_view piece, const Known& known) const {
  Span span(*this, name, lower_ascii(piece));
  std::optional<Found> best;
  std::size_t longest = 0;
  for (const std::size_t begin : span.ends_of(student_)) {
    if (!is_word_boundary(name, begin)) continue;
    for (std::size_t end = name.size(); end > begin + longest; --end) {
      if (!is_word_boundary(name, end)) continue;
      const auto id = known(name.substr(begin, end - begin));
      Found found{id.value_or(""), std::nullopt};
      if (!id || !span.fits(student_ + 1, tokens_.size(), end, name.size(), found.attempt) ||
          !span.fits(0, student_, 0, begin, found.attempt))
        continue;
      longest = end - begin;
      best = std::move(found);
      break;
    }
  }
  return best;
}

}  // namespace firmus::studio
