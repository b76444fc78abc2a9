// firmus grade FOLDER --melody FILE --out DIR, firmus grade ASSIGNMENT.json --out DIR
#include <fmt/format.h>

#include <exception>

#include "base/base.hpp"
#include "base/system/signals.hpp"
#include "commands.hpp"
#include "grade_class.hpp"
#include "grade_take.hpp"
#include "in_order.hpp"
#include "streams.hpp"

namespace firmus::cli {
namespace {

std::vector<const MatchedTake*> takes_of(const GradePlan& plan) {
  std::vector<const MatchedTake*> takes;
  for (const MatchedTake& take : plan.matched.takes)
    if (!plan.shard || shard_of(take.student, plan.rules.pieces[take.piece].id, plan.shard->of) == plan.shard->number)
      takes.push_back(&take);
  return takes;
}

std::string list_name(const std::optional<Shard>& shard) {
  return shard ? fmt::format("private/reuse.{}-of-{}.csv", shard->number, shard->of) : "private/reuse.csv";
}

std::vector<std::string> names_to_write(const GradePlan& plan, const std::vector<const MatchedTake*>& takes) {
  std::vector<std::string> names{list_name(plan.shard)};
  for (const MatchedTake* take : takes)
    for (std::string& name : result_names(take->stem)) names.push_back(std::move(name));
  if (plan.shard) return names;
  for (const std::string& list : lists_of_shards(plan.out + "/private")) names.push_back("private/" + list);
  for (const std::string& student : plan.matched.students)
    for (std::string& name : student_file_names(student)) names.push_back(std::move(name));
  for (std::string& name : class_file_names()) names.push_back(std::move(name));
  return names;
}

std::vector<std::string> stems_of(const std::vector<const MatchedTake*>& takes) {
  std::vector<std::string> stems;
  for (const MatchedTake* take : takes) stems.push_back(take->stem);
  return stems;
}

void warn_of_plan(const GradePlan& plan) {
  if (plan.quiet) return;
  for (const Melody& melody : plan.melodies)
    for (const Problem& warning : melody.warnings) warn(warning);
  for (const Unmatched& file : plan.matched.unmatched)
    warn({{plan.folder + "/" + file.name}, "is nobody's take: " + unmatched_words(file), ""});
}

class GradeRun {
 public:
  explicit GradeRun(const GradePlan& plan)
      : plan_(plan),
        takes_(takes_of(plan)),
        lock_(lock_folder(plan), plan.shard),
        out_(plan.out, names_to_write(plan, takes_)),
        store_(plan.out + "/private", plan.shard) {}

  ExitStatus run() {
    measure();
    if (plan_.shard) {
      put(fmt::format("Part {} of {}: {} of {} takes. The same line without --shard joins the parts.\n",
                      plan_.shard->number, plan_.shard->of, takes_.size(), plan_.matched.takes.size()));
    } else {
      grade();
    }
    flush_output();
    store_.finish(stems_of(takes_));
    out_.finish();
    return status_;
  }

 private:
  static std::string lock_folder(const GradePlan& plan) {
    make_folder("--out", plan.out);
    make_folder("--out", plan.out + "/private");
    return plan.out + "/private/locks";
  }

  /// Does not come back from a signal: the threads still work on takes that nobody will wait for.
  void measure() {
    const TakeGrader grader(plan_, out_, store_);
    Progress progress(takes_.size(), !plan_.quiet);
    std::size_t finished = 0;
    InOrder<WrittenTake> takes(takes_.size(), plan_.jobs, [&](std::size_t i) { return grader.write(*takes_[i]); });
    const auto signal = takes.emit_all([&](std::size_t, WrittenTake written) {
      progress.clear();
      if (written.ends_the_run) std::rethrow_exception(written.ends_the_run);
      if (written.on_disk.valid()) written.on_disk.get();
      for (const std::string& line : written.said.lines) diagnose(line);
      status_ = first_of(status_, written.said.status);
      progress.show(++finished);
    });
    progress.clear();
    if (signal) end(*signal);
  }

  void grade() {
    ClassDone done;
    write_class(plan_, out_, done);
    if (done.signal) end(*done.signal);
    switch (plan_.format) {
      case GradeFormat::text:
        return put(done.text);
      case GradeFormat::json:
        return put(done.json);
      case GradeFormat::csv:
        return put(done.csv);
    }
  }

  /// Threads may still write whole files of their own; the list of results says what is finished.
  [[noreturn]] void end(int signal) {
    out_.finish();
    lock_.release();
    system::end_by_signal(signal);
  }

  const GradePlan& plan_;
  std::vector<const MatchedTake*> takes_;
  RunLock lock_;
  OutFolder out_;
  ResultStore store_;
  ExitStatus status_ = done;
};

}  // namespace

ExitStatus run_grade(int argc, const char* const* argv) {
  RawGrade raw;
  Arguments arguments("firmus grade",
                      "Grades a whole assignment: who handed in, a gradebook, a page for each student and the class.\n"
                      "Run again, it measures only what changed.",
                      "  firmus grade week3 --melody lantern.melody --roster class.csv --out graded\n"
                      "  firmus grade week3/assignment.json --out graded\n"
                      "\n"
                      "Exit status: 0 done; 1 a take could not be measured, or is not this melody;\n"
                      "2 the command line, melody, roster, rubric or assignment is wrong;\n"
                      "3 a take is below --require; 4 a result could not be written.");
  add_grade_options(arguments, raw);
  if (arguments.parse(argc, argv) == Asked::for_help) return show_help(arguments);
  const GradePlan plan = resolve(raw);
  require_output();
  warn_of_plan(plan);
  return GradeRun(plan).run();
}

}  // namespace firmus::cli
