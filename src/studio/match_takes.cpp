#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <unordered_map>

#include "base/ascii.hpp"
#include "base/base.hpp"
#include "firmus/grading.hpp"
#include "names_in_path.hpp"
#include "pattern.hpp"

namespace firmus {
namespace {

using studio::NamesInPath;
using studio::Pattern;

std::string_view stem_of(std::string_view path) {
  const std::string_view name = path.substr(path.rfind('/') + 1);
  const std::size_t dot = name.rfind('.');
  return dot == std::string_view::npos || dot == 0 ? name : name.substr(0, dot);
}

bool is_figure(char c) {
  return c >= '0' && c <= '9';
}

/// Order of names, with digits compared by value: take-2 comes before take-10.
bool before_by_value(std::string_view a, std::string_view b) {
  const auto run = [](std::string_view text) {
    std::size_t end = 0;
    while (end < text.size() && is_figure(text[end])) ++end;
    return text.substr(0, end);
  };
  const std::string_view whole_a = a, whole_b = b;
  while (!a.empty() && !b.empty()) {
    if (is_figure(a.front()) && is_figure(b.front())) {
      std::string_view x = run(a), y = run(b);
      a.remove_prefix(x.size());
      b.remove_prefix(y.size());
      x.remove_prefix(std::min(x.find_first_not_of('0'), x.size()));
      y.remove_prefix(std::min(y.find_first_not_of('0'), y.size()));
      if (x != y) return x.size() != y.size() ? x.size() < y.size() : x < y;
    } else {
      if (a.front() != b.front()) return a.front() < b.front();
      a.remove_prefix(1);
      b.remove_prefix(1);
    }
  }
  return a.empty() != b.empty() ? a.empty() : whole_a < whole_b;
}

[[noreturn]] void reject(std::string what, std::string remedy) {
  throw InputError(Problem{{}, std::move(what), std::move(remedy)});
}

/// The known ids: those of the roster or, without a roster, any text. Whether such a text is a valid id is checked
/// after the match; checking during the match would shorten ids at their first invalid character.
class Students {
 public:
  explicit Students(const std::optional<std::vector<std::string>>& roster) : roster_(roster) {
    if (!roster) return;
    for (const std::string& id : *roster) ids_.emplace(lower_ascii(id), id);
  }
  std::optional<std::string> known(std::string_view text) const {
    if (!roster_) return std::string(text);
    const auto at = ids_.find(lower_ascii(text));
    return at == ids_.end() ? std::nullopt : std::optional(at->second);
  }
  /// Records an id found. Throws InputError when an id found before differs from it only in case.
  void met(const std::string& id) {
    const auto [at, is_new] = ids_.try_emplace(lower_ascii(id), id);
    if (!is_new && at->second != id)
      reject(fmt::format("the takes of \"{}\" and \"{}\" differ in capitals only", at->second, id),
             "rename one of them, or give a roster");
  }
  std::vector<std::string> all() const {
    if (roster_) return *roster_;
    std::vector<std::string> found;
    for (const auto& [key, id] : ids_) found.push_back(id);
    std::sort(found.begin(), found.end());
    return found;
  }

 private:
  const std::optional<std::vector<std::string>>& roster_;
  std::unordered_map<std::string, std::string> ids_;
};

struct Candidate {
  std::size_t piece = 0;
  Pattern::Found found;
};

class Matcher {
 public:
  Matcher(const std::vector<std::string>& names, const Matching& matching)
      : names_(names), matching_(matching), students_(matching.roster), names_in_path_(matching) {
    by_pattern_ = std::any_of(matching.pieces.begin(), matching.pieces.end(),
                              [](const Piece& piece) { return piece.match.has_value(); });
    for (const WhoseRow& row : matching.whose) whose_[row.file] = &row;
    const char* usual = matching.pieces.size() > 1 ? "{student}*{piece}*" : "{student}*";
    for (const Piece& piece : matching.pieces) patterns_.emplace_back(piece.match.value_or(usual), SourceLocation{});
  }

  Matched match() {
    Matched matched;
    for (std::size_t file = 0; file < names_.size(); ++file) sort_in(file, matched);
    matched.students = students_.all();
    matched.takes = numbered(matched.students);
    require_different_stems(matched.takes);
    return matched;
  }

 private:
  struct Sorted {
    std::size_t file = 0;
    std::optional<int> attempt;
  };

  void sort_in(std::size_t file, Matched& matched) {
    if (const auto said = whose_.find(names_[file]); said != whose_.end()) return keep(file, *said->second);
    if (by_pattern_) return sort_by_pattern(file, matched);
    NamesInPath::Found found = names_in_path_.find(names_[file]);
    if (!found.fault && !matching_.roster)
      if (std::string fault = fault_of_id(found.student); !fault.empty())
        found.fault = Unmatched{{}, Unmatched::Reason::no_id, {}, std::move(fault)};
    if (found.fault) {
      found.fault->name = names_[file];
      return matched.unmatched.push_back(std::move(*found.fault));
    }
    students_.met(found.student);
    sorted_[{found.student, found.piece}].push_back({file, {}});
  }

  void keep(std::size_t file, const WhoseRow& row) {
    std::size_t piece = 0;
    while (piece + 1 < matching_.pieces.size() && matching_.pieces[piece].id != row.piece) ++piece;
    students_.met(row.student);
    sorted_[{row.student, piece}].push_back({file, {}});
  }

  void sort_by_pattern(std::size_t file, Matched& matched) {
    const std::string_view stem = stem_of(names_[file]);
    std::vector<Candidate> candidates;
    for (std::size_t piece = 0; piece < patterns_.size(); ++piece)
      if (auto found = patterns_[piece].match(stem, matching_.pieces[piece].id,
                                              [&](std::string_view text) { return students_.known(text); }))
        candidates.push_back({piece, std::move(*found)});
    using enum Unmatched::Reason;
    if (candidates.empty())
      return matched.unmatched.push_back(
          {names_[file], matching_.roster ? no_student_or_piece : not_the_pattern, {}, {}});
    const Candidate* one = chosen(candidates);
    if (!one) return matched.unmatched.push_back({names_[file], several_pieces, ids_of(candidates), {}});
    if (std::string fault = matching_.roster ? "" : fault_of_id(one->found.student); !fault.empty())
      return matched.unmatched.push_back({names_[file], no_id, {}, std::move(fault)});
    students_.met(one->found.student);
    sorted_[{one->found.student, one->piece}].push_back({file, one->found.attempt});
  }

  /// The only candidate, or of those whose pattern has {piece} the one with the longest id: kite-two is not taken for
  /// kite. Null when no or several pieces have the longest id.
  const Candidate* chosen(const std::vector<Candidate>& candidates) const {
    if (candidates.size() == 1) return &candidates.front();
    const Candidate* best = nullptr;
    bool tied = false;
    for (const Candidate& one : candidates) {
      if (!patterns_[one.piece].names_the_piece()) continue;
      const std::size_t size = matching_.pieces[one.piece].id.size();
      const std::size_t most = best ? matching_.pieces[best->piece].id.size() : 0;
      if (size == most) tied = true;
      if (size > most) {
        best = &one;
        tied = false;
      }
    }
    return tied ? nullptr : best;
  }

  std::vector<std::string> ids_of(const std::vector<Candidate>& candidates) const {
    std::vector<std::string> ids;
    for (const Candidate& one : candidates) ids.push_back(matching_.pieces[one.piece].id);
    return ids;
  }

  std::vector<MatchedTake> numbered(const std::vector<std::string>& students) {
    std::vector<MatchedTake> takes;
    for (const std::string& student : students)
      for (std::size_t piece = 0; piece < patterns_.size(); ++piece) {
        const auto at = sorted_.find({student, piece});
        if (at == sorted_.end()) continue;
        std::sort(at->second.begin(), at->second.end(), [&](const Sorted& a, const Sorted& b) {
          if (a.attempt != b.attempt) return a.attempt.value_or(-1) < b.attempt.value_or(-1);
          const std::string_view stem_a = stem_of(names_[a.file]), stem_b = stem_of(names_[b.file]);
          return stem_a != stem_b ? before_by_value(stem_a, stem_b) : names_[a.file] < names_[b.file];
        });
        for (std::size_t i = 0; i < at->second.size(); ++i)
          takes.push_back(
              {student, piece, static_cast<int>(i) + 1, stem_of_results(student, piece, i + 1), at->second[i].file});
      }
    return takes;
  }

  std::string stem_of_results(const std::string& student, std::size_t piece, std::size_t number) const {
    std::string stem = student;
    if (matching_.pieces_in_stems) stem += "." + matching_.pieces[piece].id;
    if (number > 1) stem += fmt::format(".{}", number);
    return stem;
  }

  void require_different_stems(const std::vector<MatchedTake>& takes) const {
    std::unordered_map<std::string, const MatchedTake*> seen;
    for (const MatchedTake& take : takes) {
      const auto [at, is_new] = seen.try_emplace(lower_ascii(take.stem), &take);
      if (!is_new)
        reject(fmt::format("\"{}\" and \"{}\" would both be written as {}", names_[at->second->file], names_[take.file],
                           take.stem),
               "rename a student or a piece so that ids and figures do not run together");
    }
  }

  const std::vector<std::string>& names_;
  const Matching& matching_;
  Students students_;
  NamesInPath names_in_path_;
  std::map<std::string, const WhoseRow*> whose_;
  bool by_pattern_ = false;
  std::vector<Pattern> patterns_;
  std::map<std::pair<std::string, std::size_t>, std::vector<Sorted>> sorted_;
};

}  // namespace

Matched match_takes(const std::vector<std::string>& names, const Matching& matching) {
  return Matcher(names, matching).match();
}

void require_pattern(std::string_view pattern, const SourceLocation& place) {
  (void)Pattern(pattern, place);
}

int shard_of(std::string_view student, std::string_view piece, int shards) {
  // From the first 15 hexadecimal digits (60 bits) of the digest: uniformly distributed, the same on every machine.
  const std::string digest = sha256_hex(std::string(student) + '\n' + std::string(piece));
  return 1 + static_cast<int>(std::stoull(digest.substr(0, 15), nullptr, 16) % static_cast<unsigned long long>(shards));
}

}  // namespace firmus
