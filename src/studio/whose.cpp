#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/ascii.hpp"
#include "csv_table.hpp"
#include "firmus/grading.hpp"

namespace firmus {
namespace {

using studio::CsvTable;

class WhoseReader {
 public:
  WhoseReader(const CsvTable& table, Diagnostics& problems, const std::vector<std::string>& names,
              const Matching& matching)
      : table_(table), problems_(problems), matching_(matching), names_(names.begin(), names.end()) {}

  std::vector<WhoseRow> read() {
    std::vector<WhoseRow> rows;
    for (std::size_t i = 0; i < table_.rows(); ++i) {
      if (field(i, "student").text.empty()) continue;  // not filled in yet
      WhoseRow row;
      if (read_file(i, row) && read_student(i, row) && read_piece(i, row)) rows.push_back(std::move(row));
    }
    return rows;
  }

 private:
  CsvField field(std::size_t row, std::string_view column) const {
    const auto place = table_.column(column);
    return place ? table_.at(row, *place) : CsvField{"", table_.spot_of(row)};
  }

  bool read_file(std::size_t i, WhoseRow& row) {
    const CsvField file = field(i, "file");
    row.file = file.text;
    if (!names_.contains(row.file)) {
      problems_.add(file.position, fmt::format("there is no file {} among the recordings", in_quotes(row.file)),
                    "take the row out, or write the name as it is in the folder");
      return false;
    }
    if (seen_.insert(row.file).second) return true;
    problems_.add(file.position, fmt::format("the file {} has two rows", in_quotes(row.file)), "leave one of them");
    return false;
  }

  bool read_student(std::size_t i, WhoseRow& row) {
    const CsvField student = field(i, "student");
    row.student = student.text;
    if (!matching_.roster) {
      const std::string fault = fault_of_id(row.student);
      if (fault.empty()) return true;
      problems_.add(student.position, fmt::format("the id {} {}", in_quotes(row.student), fault),
                    "give 1 to 64 bytes of UTF-8 without these, such as s-01");
      return false;
    }
    for (const std::string& id : *matching_.roster)
      if (lower_ascii(id) == lower_ascii(row.student)) {
        row.student = id;
        return true;
      }
    problems_.add(student.position, fmt::format("{} is not a student of this class", in_quotes(row.student)),
                  "give a name of the roster");
    return false;
  }

  bool read_piece(std::size_t i, WhoseRow& row) {
    const CsvField piece = field(i, "piece");
    row.piece = piece.text;
    if (row.piece.empty() && matching_.pieces.size() == 1) row.piece = matching_.pieces.front().id;
    for (const Piece& known : matching_.pieces)
      if (known.id == row.piece) return true;
    problems_.add(piece.position, fmt::format("{} is not a piece of this assignment", in_quotes(row.piece)),
                  "give the id of a piece");
    return false;
  }

  const CsvTable& table_;
  Diagnostics& problems_;
  const Matching& matching_;
  std::set<std::string> names_, seen_;
};

}  // namespace

std::vector<WhoseRow> read_whose(std::string_view csv, const std::string& file, const std::vector<std::string>& names,
                                 const Matching& matching) {
  Diagnostics problems(file, "error");
  const CsvTable table(csv, file, {"file"}, problems);
  problems.throw_if_any();
  std::vector<WhoseRow> rows = WhoseReader(table, problems, names, matching).read();
  problems.throw_if_any();
  return rows;
}

}  // namespace firmus
