#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>
#include <tuple>

#include "base/ascii.hpp"
#include "csv_table.hpp"
#include "firmus/studio.hpp"

namespace firmus {
namespace {

using studio::CsvTable;

template <class T>
std::optional<T> number_in(std::string_view text) {
  T value{};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

class OverrideReader {
 public:
  OverrideReader(const CsvTable& table, Diagnostics& problems, const std::vector<std::string>& students,
                 const std::vector<Piece>& pieces, double most_points)
      : table_(table), problems_(problems), pieces_(pieces), most_points_(most_points) {
    for (const std::string& student : students) students_.insert(student);
  }

  std::vector<Override> read() {
    std::vector<Override> overrides;
    for (std::size_t row = 0; row < table_.rows(); ++row) {
      if (field(row, "mark").text.empty() && field(row, "reason").text.empty()) continue;  // not filled in
      auto one = read_row(row);
      if (!one) continue;
      if (!seen_.emplace(one->student, one->piece, one->index).second)
        problems_.add(table_.spot_of(row), "this mark is given twice", "leave one of the two");
      overrides.push_back(std::move(*one));
    }
    return overrides;
  }

 private:
  CsvField field(std::size_t row, std::string_view column) const {
    const auto place = table_.column(column);
    return place ? table_.at(row, *place) : CsvField{"", table_.spot_of(row)};
  }

  std::optional<Override> read_row(std::size_t row) {
    const CsvField student = field(row, "student"), mark = field(row, "mark");
    Override one;
    one.student = student.text;
    one.reason = field(row, "reason").text;
    if (!students_.contains(one.student)) {
      problems_.add(student.position, fmt::format("{} is not a student of this class", in_quotes(student.text)),
                    "give an id of the roster");
      return std::nullopt;
    }
    if (!read_piece(row, one) || !read_index(row, one)) return std::nullopt;
    const double most = one.index ? most_points_ : 100;
    const auto value = number_in<double>(mark.text);
    if (!value || !std::isfinite(*value) || *value < 0 || *value > most) {
      problems_.add(mark.position, fmt::format("the mark {} is not right", in_quotes(mark.text)),
                    fmt::format("give {} from 0 to {:g}", one.index ? "points" : "a percentage", most));
      return std::nullopt;
    }
    one.mark = *value;
    return one;
  }

  bool read_piece(std::size_t row, Override& one) {
    const CsvField piece = field(row, "piece");
    one.piece = piece.text;
    if (piece.text.empty() && pieces_.size() == 1) one.piece = pieces_.front().id;
    for (const Piece& known : pieces_)
      if (known.id == one.piece) return true;
    problems_.add(piece.position, fmt::format("{} is not a piece of this assignment", in_quotes(piece.text)),
                  "give the id of a piece");
    return false;
  }

  bool read_index(std::size_t row, Override& one) {
    constexpr int most_notes = 20000;
    const CsvField index = field(row, "index");
    if (index.text.empty()) return true;
    one.index = number_in<int>(index.text);
    if (one.index && *one.index >= 0 && *one.index < most_notes) return true;
    problems_.add(index.position, fmt::format("{} is not a written note", in_quotes(index.text)),
                  "give its index, counted from 0, or leave it empty for the whole piece");
    return false;
  }

  const CsvTable& table_;
  Diagnostics& problems_;
  const std::vector<Piece>& pieces_;
  double most_points_;
  std::set<std::string> students_;
  std::set<std::tuple<std::string, std::string, std::optional<int>>> seen_;
};

}  // namespace

std::vector<Override> read_overrides(std::string_view csv, const std::string& file,
                                     const std::vector<std::string>& students, const std::vector<Piece>& pieces,
                                     double most_points) {
  Diagnostics problems(file, "error");
  const CsvTable table(csv, file, {"student"}, problems);
  if (!table.column("mark"))
    problems.add({1, 1}, "no column is called \"mark\"", "the columns are student,piece,index,mark,reason");
  problems.throw_if_any();
  std::vector<Override> overrides = OverrideReader(table, problems, students, pieces, most_points).read();
  problems.throw_if_any();
  return overrides;
}

}  // namespace firmus
