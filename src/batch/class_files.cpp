#include "class_files.hpp"

#include <exception>
#include <future>
#include <optional>

#include "async_write.hpp"
#include "base/base.hpp"
#include "base/file_content.hpp"
#include "base/system/files.hpp"
#include "firmus/page.hpp"
#include "firmus/read_result.hpp"
#include "firmus/report.hpp"
#include "grade_parts.hpp"
#include "ordered_parallel.hpp"
#include "report/cell.hpp"

namespace firmus::batch {
namespace {

/// The takes of one student, [first, last) of the plan's, which are ordered by student.
struct TakeRange {
  std::size_t first = 0, last = 0;
};

std::vector<TakeRange> ranges_by_student(const GradePlan& plan) {
  std::vector<TakeRange> ranges;
  std::size_t at = 0;
  const auto& takes = plan.matched.takes;
  for (const std::string& student : plan.matched.students) {
    const std::size_t first = at;
    while (at < takes.size() && takes[at].student == student) ++at;
    ranges.push_back({first, at});
  }
  return ranges;
}

/// Marks are made from the files, so that a run that measured and one that used earlier results give the same.
StudentTakes saved_takes(const GradePlan& plan, const OutFolder& out, std::size_t student, const TakeRange& range) {
  StudentTakes takes{plan.matched.students[student], {}};
  takes.takes.resize(plan.rules.pieces.size());
  for (std::size_t i = range.first; i < range.last; ++i) {
    const MatchedTake& take = plan.matched.takes[i];
    const std::string path = out.path() + "/" + result_file_names(take.stem).front();
    const auto json = file_content(path);
    if (!json) throw WriteError(display_name(path) + ": cannot be read again");
    takes.takes[take.piece].push_back({take.stem, read_result(*json, path)});
  }
  return takes;
}

struct GradedStudent {
  StudentGrade grade;
  StudentTakes takes;  ///< only for the class habits
  std::string line;    ///< one sentence of the sheet, for a message to the student
  std::exception_ptr ends_the_run;
  std::future<void> write;  ///< throws WriteError
};

class ClassWriter {
 public:
  ClassWriter(const GradePlan& plan, const BatchEvents& events, OutFolder& out, GradeReport& report)
      : plan_(plan),
        events_(events),
        out_(out),
        report_(report),
        ranges_(ranges_by_student(plan)),
        habits_(plan.melodies, plan.matched.students.size()) {
    book_without_students_.title = plan.title;
    book_without_students_.date = plan.date;
    book_without_students_.pieces = piece_facts(plan);
    book_without_students_.rubric = plan.rules.rubric;
    book_without_students_.attempts = plan.rules.attempts;
    report.book = book_without_students_;
  }

  void write() {
    write_students();
    if (report_.signal) return;
    if (plan_.rules.rubric.round_standings) give_standings(report_.book.students);
    write_tables();
  }

 private:
  void write_students() {
    OrderedParallel<GradedStudent> students(
        ranges_.size(), plan_.options.jobs, [this](std::size_t i) { return write_student(i); }, signals_for(events_));
    report_.signal = students.emit_all([this](std::size_t i, GradedStudent one) { keep(i, std::move(one)); });
    // Before the destructor of OrderedParallel waits for its threads.
    if (report_.signal && events_.on_interrupt) events_.on_interrupt(*report_.signal);
  }

  GradedStudent write_student(std::size_t i) const {
    GradedStudent one;
    try {
      one.takes = saved_takes(plan_, out_, i, ranges_[i]);
      one.grade = grade_student(one.takes, plan_.rules);
      StudentReport report = report_student(one.takes, one.grade, book_without_students_, plan_.melodies);
      one.line = line_of(report);
      for (ReportedTake& take : report.takes) take.picture = saved_picture(take.grade->stem);
      one.write = async_write([this, names = student_file_names(one.grade.student), text = student_text(report),
                               page = student_page(report)] {
        out_.update(names[0], text);
        out_.update(names[1], page);
      });
    } catch (...) {
      one.ends_the_run = std::current_exception();
    }
    return one;
  }

  /// The <svg> element of the file; empty where there is none: the page then has no picture.
  std::string saved_picture(const std::string& stem) const {
    const std::string file = file_content(out_.path() + "/results/" + stem + ".svg").value_or("");
    const std::size_t begin = file.find("<svg");
    return begin == std::string::npos ? "" : file.substr(begin);
  }

  void keep(std::size_t i, GradedStudent one) {
    if (one.ends_the_run) std::rethrow_exception(one.ends_the_run);
    one.write.get();
    habits_.add(i, one.takes, one.grade);
    lines_.push_back(std::move(one.line));
    report_.book.students.push_back(std::move(one.grade));
  }

  void write_tables() {
    const Gradebook& book = report_.book;
    const ClassReport report{&book, habits_.found(), plan_.matched.unmatched, plan_.melodies};
    report_.class_text = class_text(report);
    report_.gradebook_csv = gradebook_csv(book);
    report_.gradebook_json = gradebook_json(book);
    const std::vector<std::string> names = class_file_names();
    const std::vector<std::string> contents{report_.class_text,     class_page(report), report_.gradebook_csv,
                                            report_.gradebook_json, marks_csv(book),    failures_csv(book),
                                            sources_csv(),          send_csv()};
    // At the same time: each waits for the disk, which serves waiting writes together.
    in_parallel(names.size(), static_cast<int>(names.size()),
                [&](std::size_t i) { out_.update(names[i], contents[i]); });
    write_whose();
    write_overrides();
  }

  static std::string csv_line(std::initializer_list<std::string_view> cells) {
    std::string text;
    for (const std::string_view cell : cells) {
      if (!text.empty()) text += ',';
      text += report::csv_cell(std::string(cell));
    }
    return text + "\r\n";
  }

  /// What the teacher filled in, then a blank row for each file that is nobody's; no file where there is neither.
  void write_whose() {
    if (plan_.whose.empty() && plan_.matched.unmatched.empty()) return;
    std::string text = "file,student,piece\r\n";
    for (const WhoseRow& row : plan_.whose) text += csv_line({row.file, row.student, row.piece});
    for (const Unmatched& file : plan_.matched.unmatched) text += csv_line({file.name, "", ""});
    out_.update(whose_name, text);
  }

  /// A row a student and piece for marks of the teacher's own: made once, never touched again.
  void write_overrides() {
    if (plan_.own_overrides || system::name_exists(out_.path() + "/" + overrides_name)) return;
    std::string text = "student,piece,index,mark,reason\r\n";
    for (const std::string& student : plan_.matched.students)
      for (const Piece& piece : plan_.rules.pieces) text += csv_line({student, piece.id, "", "", ""});
    out_.write(overrides_name, text);
  }

  static std::string line_of(const StudentReport& report) {
    if (!report.by_teacher.empty()) return report.by_teacher.front();
    if (!report.strength.empty()) return report.strength;
    return report.to_do.empty() ? "" : report.to_do.front();
  }

  /// For a mail merge. The only file with addresses.
  std::string send_csv() const {
    std::string text = "student,email,file,text\r\n";
    for (std::size_t i = 0; i < plan_.matched.students.size(); ++i) {
      const std::string& student = plan_.matched.students[i];
      text += csv_line(
          {student, i < plan_.addresses.size() ? plan_.addresses[i] : "", student_file_names(student)[1], lines_[i]});
    }
    return text;
  }

  /// The names of all recordings.
  std::string sources_csv() const {
    std::string text = "take,student,piece,file,why\r\n";
    for (const MatchedTake& take : plan_.matched.takes)
      text += csv_line({take.stem, take.student, plan_.rules.pieces[take.piece].id, plan_.names[take.file], ""});
    for (const Unmatched& file : plan_.matched.unmatched) text += ",,," + csv_line({file.name, unmatched_words(file)});
    return text;
  }

  const GradePlan& plan_;
  const BatchEvents& events_;
  OutFolder& out_;
  GradeReport& report_;
  Gradebook book_without_students_;  ///< what a student's page may be made of
  std::vector<TakeRange> ranges_;
  ClassHabits habits_;
  std::vector<std::string> lines_;  ///< one for each student
};

}  // namespace

void write_class(const GradePlan& plan, const BatchEvents& events, OutFolder& out, GradeReport& report) {
  ClassWriter(plan, events, out, report).write();
}

}  // namespace firmus::batch
