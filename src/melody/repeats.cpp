#include "repeats.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "source.hpp"
#include "unroll.hpp"

namespace firmus::melody {
namespace {

/// A repeat in print is played two to four times, a song of many verses up to some 15 times.
constexpr int most_times = 20;
/// Ten times what the longest song of 1,450 has; it bounds the time that a hostile file takes.
constexpr std::size_t most_signs = 500;

/// The numbers of an ending, "1", "1,2" or "1-3"; those beyond most_times are cut off.
std::vector<int> numbers_of_ending(std::string_view text) {
  std::vector<int> numbers;
  bool range = false;
  for (std::size_t i = 0; i < text.size();) {
    if (!is_digit(text[i])) {
      range = text[i++] == '-';
      continue;
    }
    int number = 0;
    while (i < text.size() && is_digit(text[i])) number = std::min(10 * number + (text[i++] - '0'), most_times + 1);
    if (range && !numbers.empty())
      for (int n = numbers.back() + 1; n < number; ++n) numbers.push_back(n);
    numbers.push_back(number);
  }
  return numbers;
}

/// The last word written for this time or an earlier one.
std::optional<std::string> word_at_time(const Item& item, int time) {
  std::optional<std::string> word;
  for (const PassWord& entry : item.words)
    if (entry.pass <= time && entry.syllable) word = entry.syllable;
  return word;
}

/// Items that are always played in a row.
struct Piece {
  std::size_t begin = 0, end = 0;
  std::vector<int> numbers;  ///< of an ending
};

class Repeats {
 public:
  Repeats(const std::vector<RepeatSign>& signs, std::size_t items, Diagnostics& errors)
      : signs_(signs), items_(items), errors_(errors) {}

  void resolve() {
    for (std::size_t i = 0; i < signs_.size(); ++i) {
      const bool ending_follows =
          i + 1 < signs_.size() && signs_[i + 1].kind == RepeatSignKind::ending && signs_[i + 1].item == signs_[i].item;
      read(signs_[i], ending_follows);
    }
    if (!endings_.empty()) return close_endings(items_);
    report_unclosed();
    play_once(items_);
  }

  const std::vector<Piece>& pieces() const { return pieces_; }
  const std::vector<std::size_t>& order() const { return order_; }

 private:
  struct Ending {
    const RepeatSign* sign;
    bool repeated = false;  ///< ends with ":|"
  };

  void read(const RepeatSign& sign, bool ending_follows) {
    switch (sign.kind) {
      case RepeatSignKind::double_bar:
        if (!endings_.empty())
          close_endings(sign.item);
        else if (!open_)
          play_once(sign.item);
        return;
      case RepeatSignKind::repeat_begin:
        if (!endings_.empty()) close_endings(sign.item);
        report_unclosed();
        play_once(sign.item);
        open_ = &sign;
        return;
      case RepeatSignKind::repeat_end:
        return end_repeat(sign, ending_follows);
      case RepeatSignKind::ending:
        return begin_ending(sign);
    }
  }

  void report_unclosed() {
    if (open_) errors_.add(open_->position, "this repeat is not closed", "write \":|\" where it goes back");
    open_ = nullptr;
  }

  void play_once(std::size_t end) {
    if (begin_ < end) order_.push_back(add_piece({begin_, end, {}}));
    begin_ = end;
  }

  std::size_t add_piece(Piece piece) {
    pieces_.push_back(std::move(piece));
    return pieces_.size() - 1;
  }

  void end_repeat(const RepeatSign& sign, bool ending_follows) {
    if (!endings_.empty()) {
      endings_.back().repeated = true;
      if (!ending_follows)
        errors_.add(sign.position, "no ending follows this repeat sign",
                    "write the next ending as \":|2\"; the last one ends with \"|\" or \"||\"");
      return;
    }
    if (ending_follows)
      return errors_.add(sign.position, "an ending follows, but no first ending stands before it",
                         "write \"|1\" where the first ending begins");
    if (begin_ == sign.item)
      errors_.add(sign.position, "there is nothing to repeat", "write the notes between \"|:\" and \":|\"");
    else
      order_.insert(order_.end(), static_cast<std::size_t>(sign.times), add_piece({begin_, sign.item, {}}));
    begin_ = sign.item;
    open_ = nullptr;
  }

  void begin_ending(const RepeatSign& sign) {
    if (!endings_.empty() && !endings_.back().repeated)
      errors_.add(sign.position, "the ending before this one does not go back", "write \":|\" at its end");
    endings_.push_back({&sign});
  }

  /// The numbers must be 1, 2, ... each once, and the last time that of the last ending, since the music goes on there.
  bool endings_are_complete() const {
    std::vector<int> numbers;
    for (const Ending& ending : endings_)
      numbers.insert(numbers.end(), ending.sign->numbers.begin(), ending.sign->numbers.end());
    const bool last = numbers.back() == *std::max_element(numbers.begin(), numbers.end());
    std::sort(numbers.begin(), numbers.end());
    for (std::size_t i = 0; i < numbers.size(); ++i)
      if (numbers[i] != static_cast<int>(i) + 1) return false;
    return last && numbers.back() <= most_times;
  }

  void report_endings() {
    const SourcePosition place = endings_.front().sign->position;
    if (endings_.size() == 1)
      errors_.add(place, "this ending has no other beside it, so nothing is repeated",
                  "write \":|2\" where the second ending begins");
    else if (!endings_are_complete())
      errors_.add(place, "these endings are not numbered 1, 2, 3 and so on, each once",
                  fmt::format("write \"|1 ... :|2 ...\" (at most {} times)", most_times));
  }

  void close_endings(std::size_t end) {
    report_endings();
    const std::size_t first = endings_.front().sign->item;
    std::optional<std::size_t> body;
    if (begin_ < first) body = add_piece({begin_, first, {}});
    std::vector<std::size_t> piece_at_time(most_times + 2);
    int times = 0;
    for (std::size_t i = 0; i < endings_.size(); ++i) {
      const RepeatSign& sign = *endings_[i].sign;
      const std::size_t stop = i + 1 < endings_.size() ? endings_[i + 1].sign->item : end;
      if (stop == sign.item) errors_.add(sign.position, "this ending holds nothing", "write its notes behind it");
      const std::size_t piece = add_piece({sign.item, stop, sign.numbers});
      for (const int number : sign.numbers) piece_at_time[static_cast<std::size_t>(number)] = piece;
      times = std::max(times, sign.numbers.back());
    }
    for (int time = 1; time <= times; ++time) {
      if (body) order_.push_back(*body);
      order_.push_back(piece_at_time[static_cast<std::size_t>(time)]);
    }
    begin_ = end;
    endings_.clear();
    open_ = nullptr;
  }

  const std::vector<RepeatSign>& signs_;
  std::size_t items_;
  Diagnostics& errors_;
  std::vector<Piece> pieces_;
  std::vector<std::size_t> order_;  ///< of pieces
  std::size_t begin_ = 0;           ///< of what is not yet in a piece
  const RepeatSign* open_ = nullptr;
  std::vector<Ending> endings_;
};

/// The words by the times at which the piece is played; "." for times that it is not played at is dropped.
std::vector<PassWord> words_of(const Item& item, const Piece& piece, int times) {
  std::vector<PassWord> words;
  if (piece.numbers.empty()) {
    for (const PassWord& word : item.words)
      if (word.pass <= times || word.syllable) words.push_back(word);
  } else if (!item.words.empty()) {
    for (std::size_t i = 0; i < piece.numbers.size(); ++i)
      words.push_back({static_cast<int>(i) + 1, word_at_time(item, piece.numbers[i])});
  }
  return words;
}

void cut_into_sections(ParsedMelody& parsed, const Repeats& repeats) {
  std::vector<Item> items = std::move(parsed.sections.front().items);
  std::vector<int> times(repeats.pieces().size());
  for (const std::size_t piece : repeats.order()) {
    ++times[piece];
    parsed.declared_order.push_back({section_name(piece), {}});
  }
  parsed.sections.clear();
  for (std::size_t i = 0; i < times.size(); ++i) {
    const Piece& piece = repeats.pieces()[i];
    Section section{section_name(i), items[piece.begin].position, {}};
    for (std::size_t at = piece.begin; at < piece.end; ++at) {
      section.items.push_back(std::move(items[at]));
      section.items.back().words = words_of(section.items.back(), piece, times[i]);
    }
    parsed.sections.push_back(std::move(section));
  }
}

}  // namespace

void add_repeat_signs(const Token& token, std::size_t item, std::vector<RepeatSign>& signs, Diagnostics& errors) {
  std::string_view text = token.text;
  const auto take = [&](std::string_view characters) {
    const std::size_t size = std::min(text.find_first_not_of(characters), text.size());
    text.remove_prefix(size);
    return size;
  };
  const auto add = [&](RepeatSignKind kind) -> RepeatSign& {
    return signs.emplace_back(RepeatSign{kind, item, token.position, 2, {}});
  };
  const bool only_colons = text == "::";
  const std::size_t back = only_colons ? 1 : take(":"), bars = take("|]"), forward = take(":");
  if (text.find_first_of("|:") != std::string_view::npos || back >= most_times || (forward > 0 && !text.empty()))
    return errors.add(
        token.position, fmt::format("{} is not a repeat sign", in_quotes(token.text)),
        fmt::format("write \"|:\", \":|\", \":|:\" or \":|2\" (\"::|\" is played three times, at most {})",
                    most_times));
  if (back > 0) add(RepeatSignKind::repeat_end).times = static_cast<int>(back) + 1;
  if (bars > 1 && back + forward == 0) add(RepeatSignKind::double_bar);
  if (forward > 0) add(RepeatSignKind::repeat_begin);
  if (text.empty()) return;
  const std::vector<int> numbers = numbers_of_ending(text);
  if (numbers.empty() || !std::is_sorted(numbers.begin(), numbers.end()))
    return errors.add(token.position, fmt::format("{} is not an ending", in_quotes(token.text)),
                      "write \"[1\", \"[1,3\" or \"[1-3\"");
  add(RepeatSignKind::ending).numbers = numbers;
}

void resolve_repeats(ParsedMelody& parsed, const std::vector<RepeatSign>& signs, Diagnostics& errors) {
  const auto first = std::find_if(signs.begin(), signs.end(),
                                  [](const RepeatSign& sign) { return sign.kind != RepeatSignKind::double_bar; });
  if (first == signs.end() || errors.any()) return;
  if (parsed.sections.size() > 1 || !parsed.sections.front().name.empty() || !parsed.declared_order.empty())
    return errors.add(first->position, "a repeat sign stands in a melody with \"section:\" or \"order:\"",
                      "write what is repeated as a section, and its name twice in \"order:\"");
  if (signs.size() > most_signs)
    return errors.add(signs[most_signs].position,
                      fmt::format("has more than {} repeat signs and double bars", most_signs), "split it");
  Repeats repeats(signs, parsed.sections.front().items.size(), errors);
  repeats.resolve();
  if (!errors.any()) cut_into_sections(parsed, repeats);
}

}  // namespace firmus::melody
