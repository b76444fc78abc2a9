#include "grade_class.hpp"

#include <exception>
#include <future>
#include <map>

#include "aside.hpp"
#include "base/base.hpp"
#include "firmus/page.hpp"
#include "firmus/read_result.hpp"
#include "grade_take.hpp"
#include "in_order.hpp"
#include "report/cell.hpp"

namespace firmus::cli {
namespace {

/// Which takes of the plan are a student's: [first, last), since they stand in the order of students.
struct Share {
  std::size_t first = 0, last = 0;
};

std::vector<Share> shares_of(const GradePlan& plan) {
  std::vector<Share> shares;
  std::size_t at = 0;
  const auto& takes = plan.matched.takes;
  for (const std::string& student : plan.matched.students) {
    const std::size_t first = at;
    while (at < takes.size() && takes[at].student == student) ++at;
    shares.push_back({first, at});
  }
  return shares;
}

/// Marks are made from what is on disk, so that a fresh run and one that took results over say the same.
StudentTakes saved_takes(const GradePlan& plan, const OutFolder& out, std::size_t student, const Share& share) {
  StudentTakes takes{plan.matched.students[student], {}};
  takes.takes.resize(plan.rules.pieces.size());
  for (std::size_t i = share.first; i < share.last; ++i) {
    const MatchedTake& take = plan.matched.takes[i];
    const std::string path = out.path() + "/" + result_names(take.stem).front();
    const auto json = content_of(path);
    if (!json) throw WriteError(display_name(path) + ": cannot be read again");
    takes.takes[take.piece].push_back({take.stem, read_result(*json, path)});
  }
  return takes;
}

struct StudentDone {
  StudentGrade grade;
  StudentTakes takes;  ///< only for the class habits
  std::exception_ptr ends_the_run;
  std::future<void> on_disk;  ///< throws WriteError
};

class ClassWriter {
 public:
  ClassWriter(const GradePlan& plan, OutFolder& out, ClassDone& done)
      : plan_(plan),
        out_(out),
        done_(done),
        shares_(shares_of(plan)),
        habits_(plan.melodies, plan.matched.students.size()) {
    done.book.title = plan.title;
    done.book.date = plan.date;
    done.book.pieces = plan.piece_facts();
    done.book.rubric = plan.rules.rubric;
    done.book.attempts = plan.rules.attempts;
    facts_ = done.book;
  }

  void write() {
    InOrder<StudentDone> students(shares_.size(), plan_.jobs, [this](std::size_t i) { return write_student(i); });
    done_.signal = students.emit_all([this](std::size_t i, StudentDone one) { keep(i, std::move(one)); });
    if (done_.signal) return;
    if (plan_.rules.rubric.round_standings) give_standings(done_.book.students);
    done_.report = {&done_.book, habits_.found(), static_cast<int>(plan_.matched.unmatched.size()), plan_.melodies};
    write_tables();
  }

 private:
  StudentDone write_student(std::size_t i) const {
    StudentDone one;
    try {
      one.takes = saved_takes(plan_, out_, i, shares_[i]);
      one.grade = grade_student(one.takes, plan_.rules);
      StudentReport report = report_student(one.takes, one.grade, facts_, plan_.melodies);
      for (ReportedTake& take : report.takes) take.picture = saved_picture(take.grade->stem);
      one.on_disk = aside([this, names = student_file_names(one.grade.student), text = student_text(report),
                           page = student_page(report)] {
        out_.update(names[0], text);
        out_.update(names[1], page);
      });
    } catch (...) {
      one.ends_the_run = std::current_exception();
    }
    return one;
  }

  /// The <svg> element of the file; without it a page still says all in words.
  std::string saved_picture(const std::string& stem) const {
    const std::string file = content_of(out_.path() + "/results/" + stem + ".svg").value_or("");
    const std::size_t begin = file.find("<svg");
    return begin == std::string::npos ? "" : file.substr(begin);
  }

  void keep(std::size_t i, StudentDone one) {
    if (one.ends_the_run) std::rethrow_exception(one.ends_the_run);
    one.on_disk.get();
    habits_.add(i, one.takes, one.grade);
    done_.book.students.push_back(std::move(one.grade));
  }

  void write_tables() {
    done_.text = class_text(done_.report);
    done_.csv = gradebook_csv(done_.book);
    done_.json = gradebook_json(done_.book);
    const std::vector<std::string> names = class_file_names();
    const std::vector<std::string> contents{done_.text,   class_page(done_.report), done_.csv,
                                            done_.json,   marks_csv(done_.book),    failures_csv(done_.book),
                                            sources_csv()};
    // All at once: each waits for the disk, which serves those that wait together.
    in_parallel(names.size(), static_cast<int>(names.size()),
                [&](std::size_t i) { out_.update(names[i], contents[i]); });
  }

  /// The one place where original names stand.
  std::string sources_csv() const {
    const auto line = [](std::initializer_list<std::string> cells) {
      std::string text;
      for (const std::string& cell : cells) {
        if (!text.empty()) text += ',';
        text += report::csv_cell(cell);
      }
      return text + "\r\n";
    };
    std::string text = "take,student,piece,file,why\r\n";
    for (const MatchedTake& take : plan_.matched.takes)
      text += line({take.stem, take.student, plan_.rules.pieces[take.piece].id, plan_.names[take.file], ""});
    for (const Unmatched& file : plan_.matched.unmatched) text += ",,," + line({file.name, unmatched_words(file)});
    return text;
  }

  const GradePlan& plan_;
  OutFolder& out_;
  ClassDone& done_;
  Gradebook facts_;  ///< without students: what their pages may know
  std::vector<Share> shares_;
  ClassHabits habits_;
};

}  // namespace

std::vector<std::string> student_file_names(const std::string& student) {
  return {student + ".txt", student + ".html"};
}

std::vector<std::string> class_file_names() {
  return {"class.txt", "class.html",   "gradebook.csv",      "gradebook.json",
          "marks.csv", "failures.csv", "private/sources.csv"};
}

void write_class(const GradePlan& plan, OutFolder& out, ClassDone& done) {
  ClassWriter(plan, out, done).write();
}

}  // namespace firmus::cli
