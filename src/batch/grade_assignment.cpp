#include <fmt/format.h>

#include <exception>
#include <utility>

#include "class_files.hpp"
#include "firmus/batch.hpp"
#include "grade_parts.hpp"
#include "grade_take.hpp"
#include "ordered_parallel.hpp"
#include "out_folder.hpp"
#include "result_store.hpp"
#include "run_lock.hpp"

namespace firmus {
namespace batch {
namespace {

using Takes = std::vector<const MatchedTake*>;

std::string reuse_list_name(const std::optional<Shard>& shard) {
  return shard ? fmt::format("private/reuse.{}-of-{}.csv", shard->number, shard->of) : "private/reuse.csv";
}

std::vector<std::string> names_to_write(const GradePlan& plan, const Takes& takes) {
  std::vector<std::string> names{reuse_list_name(plan.options.shard)};
  for (const MatchedTake* take : takes)
    for (std::string& name : result_file_names(take->stem)) names.push_back(std::move(name));
  if (plan.options.shard) return names;
  for (const std::string& list : lists_of_shards(plan.options.out_folder + "/private"))
    names.push_back("private/" + list);
  for (const std::string& student : plan.matched.students)
    for (std::string& name : student_file_names(student)) names.push_back(std::move(name));
  for (std::string& name : class_file_names()) names.push_back(std::move(name));
  return names;
}

std::vector<std::string> stems_of(const Takes& takes) {
  std::vector<std::string> stems;
  for (const MatchedTake* take : takes) stems.push_back(take->stem);
  return stems;
}

std::string make_lock_folder(const std::string& out_folder) {
  make_folder("--out", out_folder);
  make_folder("--out", out_folder + "/private");
  return out_folder + "/private/locks";
}

class GradeRun {
 public:
  GradeRun(const GradePlan& plan, const BatchEvents& events)
      : plan_(plan),
        events_(events),
        takes_(takes_to_measure(plan)),
        lock_(make_lock_folder(plan.options.out_folder), plan.options.shard),
        out_(plan.options.out_folder, names_to_write(plan, takes_), {whose_name, overrides_name}),
        store_(plan.options.out_folder + "/private", plan.options.shard) {
    // The lock goes before the caller ends the program. Threads may still rename whole files of their own; written.json
    // therefore keeps all names that this run entered, and the next run takes these files as its own.
    if (events.on_interrupt)
      events_.on_interrupt = [this, on_interrupt = events.on_interrupt](int signal) {
        lock_.release();
        on_interrupt(signal);
      };
  }

  GradeReport run() {
    GradeReport report;
    report.signal = measure();
    if (!report.signal && !plan_.options.shard) write_class(plan_, events_, out_, report);
    if (report.signal) return {report.signal, {}, {}, {}, {}};
    store_.finish(stems_of(takes_));
    out_.finish();
    return report;
  }

 private:
  std::optional<int> measure() {
    if (events_.on_start) events_.on_start();
    const TakeGrader grader(plan_, out_, store_);
    OrderedParallel<GradedTake> takes(
        takes_.size(), plan_.options.jobs, [&](std::size_t i) { return grader.grade(*takes_[i]); },
        signals_for(events_));
    const auto signal = takes.emit_all([&](std::size_t, GradedTake graded) {
      if (graded.ends_the_run) std::rethrow_exception(graded.ends_the_run);
      if (graded.write.valid()) graded.write.get();
      if (events_.on_take) events_.on_take(graded.outcome);
    });
    if (signal) events_.on_interrupt(*signal);
    return signal;
  }

  const GradePlan& plan_;
  BatchEvents events_;
  Takes takes_;
  RunLock lock_;
  OutFolder out_;
  ResultStore store_;
};

}  // namespace
}  // namespace batch

std::vector<const MatchedTake*> takes_to_measure(const GradePlan& plan) {
  const auto& shard = plan.options.shard;
  std::vector<const MatchedTake*> takes;
  for (const MatchedTake& take : plan.matched.takes)
    if (!shard || shard_of(take.student, plan.rules.pieces[take.piece].id, shard->of) == shard->number)
      takes.push_back(&take);
  return takes;
}

GradeReport grade_assignment(const GradePlan& plan, const BatchEvents& events) {
  return batch::GradeRun(plan, events).run();
}

}  // namespace firmus
