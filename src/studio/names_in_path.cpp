#include "names_in_path.hpp"

#include <algorithm>
#include <set>

namespace firmus::studio {
namespace {

constexpr std::size_t most_words_of_a_name = 8;
constexpr std::size_t shortest_part_of_a_name = 2;  // characters: an initial does not name a student

/// The path without the ending of the file's name.
std::string_view without_ending(std::string_view path) {
  const std::size_t slash = path.rfind('/');
  const std::size_t name = slash == std::string_view::npos ? 0 : slash + 1;
  const std::size_t dot = path.rfind('.');
  return dot == std::string_view::npos || dot <= name ? path : path.substr(0, dot);
}

bool is_figures(std::string_view text) {
  return text.find_first_not_of("0123456789") == std::string_view::npos;
}

NamesInPath::Found without_owner(Unmatched::Reason reason, std::vector<std::string> names = {}) {
  return {{}, 0, Unmatched{{}, reason, std::move(names), {}}};
}

std::string trimmed(std::string_view text) {
  constexpr std::string_view separators = " \t-_.,;()[]+&";
  const std::size_t begin = text.find_first_not_of(separators);
  if (begin == std::string_view::npos) return {};
  return std::string(text.substr(begin, text.find_last_not_of(separators) + 1 - begin));
}

}  // namespace

void NamesInPath::Index::add(const std::string& folded, std::size_t owner) {
  if (folded.empty()) return;
  std::vector<std::size_t>& owners = by_name_[folded];
  if (std::find(owners.begin(), owners.end(), owner) == owners.end()) owners.push_back(owner);
}

const std::vector<std::size_t>* NamesInPath::Index::owners(const std::string& folded) const {
  const auto at = by_name_.find(folded);
  return at == by_name_.end() ? nullptr : &at->second;
}

NamesInPath::NamesInPath(const Matching& matching) : matching_(matching) {
  if (matching.roster) add_students(*matching.roster);
  add_pieces(matching);
}

/// Whole names, and single words of names of several words that no other student has.
void NamesInPath::add_students(const std::vector<std::string>& roster) {
  std::map<std::string, std::set<std::size_t>> by_word;
  std::set<std::string> whole_names;
  for (std::size_t i = 0; i < roster.size(); ++i) {
    students_.add(folded_name(roster[i]), i);
    whole_names.insert(folded_name(roster[i]));
    for (const FoldedWord& word : folded_words(roster[i])) by_word[word.text].insert(i);
  }
  for (const auto& [word, owners] : by_word)
    if (owners.size() == 1 && word.size() >= shortest_part_of_a_name && !is_figures(word) &&
        !whole_names.contains(word))
      students_.add(word, *owners.begin());
}

void NamesInPath::add_pieces(const Matching& matching) {
  for (std::size_t i = 0; i < matching.pieces.size(); ++i) {
    pieces_.add(folded_name(matching.pieces[i].id), i);
    if (i < matching.titles.size()) pieces_.add(folded_name(matching.titles[i]), i);
  }
}

/// The longest mentions: one within another is left out.
std::vector<NamesInPath::Mention> NamesInPath::mentions(const std::vector<FoldedWord>& words) const {
  std::vector<Mention> all;
  for (std::size_t first = 0; first < words.size(); ++first) {
    std::string joined;
    for (std::size_t last = first; last < words.size() && last - first < most_words_of_a_name; ++last) {
      joined += words[last].text;
      if (const auto* owners = students_.owners(joined)) all.push_back({first, last, owners, false});
      if (const auto* owners = pieces_.owners(joined)) all.push_back({first, last, owners, true});
    }
  }
  const auto within_another = [&](const Mention& one) {
    return std::any_of(all.begin(), all.end(), [&](const Mention& other) {
      return other.first <= one.first && one.last <= other.last && other.last - other.first > one.last - one.first;
    });
  };
  std::vector<Mention> longest;
  std::copy_if(all.begin(), all.end(), std::back_inserter(longest),
               [&](const Mention& one) { return !within_another(one); });
  return longest;
}

NamesInPath::Found NamesInPath::find(std::string_view path) const {
  if (!matching_.roster) return find_without_roster(path);
  std::set<std::size_t> students, pieces;
  for (const Mention& mention : mentions(folded_words(without_ending(path))))
    (mention.of_piece ? pieces : students).insert(mention.owners->begin(), mention.owners->end());
  using enum Unmatched::Reason;
  if (students.empty()) return without_owner(no_student);
  if (students.size() > 1) {
    std::vector<std::string> names;
    for (const std::size_t student : students) names.push_back((*matching_.roster)[student]);
    return without_owner(several_students, std::move(names));
  }
  const std::string& student = (*matching_.roster)[*students.begin()];
  if (matching_.pieces.size() == 1) return {student, 0, {}};
  if (pieces.empty()) return without_owner(no_piece);
  if (pieces.size() > 1) {
    std::vector<std::string> names;
    for (const std::size_t piece : pieces) names.push_back(matching_.pieces[piece].id);
    return without_owner(several_pieces, std::move(names));
  }
  return {student, *pieces.begin(), {}};
}

std::string NamesInPath::rest_of(std::string_view text, const std::vector<FoldedWord>& words,
                                 const Mention& piece) const {
  const std::string before = trimmed(text.substr(0, words[piece.first].begin));
  if (!before.empty()) return before;
  const std::string after = trimmed(text.substr(words[piece.last].end));
  return is_figures(after) ? "" : after;
}

NamesInPath::Found NamesInPath::find_without_roster(std::string_view path) const {
  const std::string_view whole = without_ending(path);
  const std::size_t slash = whole.rfind('/');
  const std::string_view stem = slash == std::string_view::npos ? whole : whole.substr(slash + 1);
  const std::vector<FoldedWord> words = folded_words(stem);
  const std::vector<Mention> found = mentions(words);
  std::set<std::size_t> pieces;
  for (const Mention& mention : found) pieces.insert(mention.owners->begin(), mention.owners->end());
  std::string student = found.empty() ? std::string(stem) : rest_of(stem, words, found.front());
  if (slash != std::string_view::npos) {
    const std::string_view folders = whole.substr(0, slash);
    const std::string_view nearest = folders.substr(std::min(folders.rfind('/') + 1, folders.size()));
    const std::vector<Mention> in_folder = mentions(folded_words(nearest));
    if (in_folder.empty()) student = std::string(nearest);
    if (pieces.empty())
      for (const Mention& mention : in_folder) pieces.insert(mention.owners->begin(), mention.owners->end());
  }
  using enum Unmatched::Reason;
  if (student.empty()) return without_owner(no_student);
  if (matching_.pieces.size() == 1) return {student, 0, {}};
  if (pieces.empty()) return without_owner(no_piece);
  if (pieces.size() > 1) return without_owner(several_pieces);
  return {student, *pieces.begin(), {}};
}

}  // namespace firmus::studio
