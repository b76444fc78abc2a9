// Makes takes whose truth is exact, under many conditions, measures them, and prints the table of conditions.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <atomic>
#include <fstream>
#include <thread>

#include "conditions.hpp"
#include "firmus/take.hpp"
#include "table.hpp"
#include "write_set.hpp"

namespace firmus::truth {
namespace {

struct Options {
  int seeds = 1;
  std::uint64_t first_seed = 1;
  unsigned jobs = std::max(1U, std::thread::hardware_concurrency());
  std::vector<std::string> only;
  std::string folder, notes;
  bool wrong = false, measure = true;
};

struct Job {
  std::size_t row = 0;
  std::string melody_name, id;
  std::uint64_t seed = 0;
  std::string melody_written;  ///< the melody as the take has it (another octave is another melody)
  Score score;
};

bool is_wanted(const Options& options, const std::string& name) {
  return options.only.empty() ||
         std::ranges::any_of(options.only, [&](const auto& word) { return name.find(word) != std::string::npos; });
}

std::string as_id(const std::string& text) {
  std::string id;
  for (const char c : text)
    if (std::isalnum(static_cast<unsigned char>(c)) != 0) id += c;
  return id;
}

/// Each condition has seeds of its own, the same whatever else is run.
std::vector<Job> jobs_of(const std::vector<Row>& rows, const Options& options) {
  std::vector<Job> jobs;
  const std::vector<std::string> names = melody_names();
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const Condition& condition = rows[r].condition;
    if (condition.not_run) continue;
    std::uint64_t own = 0;
    for (const char c : condition.name) own = (own * 31 + static_cast<unsigned char>(c)) % 9973;
    for (int round = 0; round < options.seeds; ++round) {
      const std::uint64_t seed = options.first_seed + static_cast<std::uint64_t>(round);
      const auto every = static_cast<std::size_t>(condition.every);
      for (std::size_t m = seed % every; m < names.size(); m += every)
        jobs.push_back({r,
                        names[m],
                        fmt::format("{}-{}-{}", as_id(condition.name), names[m], seed),
                        own * 1000 + seed * 100 + m / every,
                        {},
                        {}});
    }
  }
  return jobs;
}

void run_job(Job& job, const Condition& condition, const Options& options, const MeasureOptions& measure) {
  TruthTake take = condition.make(job.melody_name, job.seed);
  take.id = job.id;
  job.melody_written = take.melody_name;
  if (!options.folder.empty()) write_take(options.folder, take);
  if (!options.measure) return;
  try {
    const Recording samples = recording_from_samples(take.id, take.samples, 1, take.rate_hz);
    job.score = judge(take, measure_take(samples, &take.melody, measure));
  } catch (const TakeError& error) {
    job.score = judge(take, not_measured(take.id, error, measure));
  }
}

void run_all(std::vector<Job>& jobs, const std::vector<Row>& rows, const Options& options) {
  MeasureOptions measure;
  std::atomic<std::size_t> next{0};
  std::exception_ptr fault;
  std::atomic<bool> failed{false};
  const auto work = [&] {
    for (std::size_t i = next++; i < jobs.size() && !failed; i = next++) {
      try {
        run_job(jobs[i], rows[jobs[i].row].condition, options, measure);
      } catch (...) {
        if (!failed.exchange(true)) fault = std::current_exception();
      }
    }
  };
  std::vector<std::jthread> threads;
  for (unsigned t = 1; t < options.jobs; ++t) threads.emplace_back(work);
  work();
  threads.clear();
  if (fault) std::rethrow_exception(fault);
}

void write_notes(const std::string& path, const std::vector<Row>& rows) {
  std::ofstream file(path);
  file << note_columns << "\n";
  for (const Row& row : rows) file << row.score.notes_csv;
}

void run(const Options& options) {
  std::vector<Row> rows;
  for (const Condition& condition : conditions())
    if (is_wanted(options, condition.name)) rows.push_back({condition, {}});
  std::vector<Job> jobs = jobs_of(rows, options);
  run_all(jobs, rows, options);
  std::vector<std::pair<std::string, std::string>> list;
  for (const Job& job : jobs) {
    add(rows[job.row].score, job.score);
    list.emplace_back(job.id, job.melody_written);
    if (options.wrong)
      for (const std::string& line : job.score.wrong) fmt::print("{}\n", line);
  }
  if (!options.folder.empty()) write_list(options.folder, list);
  if (!options.notes.empty()) write_notes(options.notes, rows);
  if (options.measure) fmt::print("{}", table_of(rows));
}

}  // namespace
}  // namespace firmus::truth

int main(int argc, char** argv) {
  firmus::truth::Options options;
  CLI::App app{"Makes takes whose truth is exact, measures them, and prints how well, by condition"};
  app.add_option("--seeds", options.seeds, "how many times over, each time other voices")->check(CLI::Range(1, 1000));
  app.add_option("--first-seed", options.first_seed, "where the seeds begin");
  app.add_option("--only", options.only, "only conditions with one of these in their names");
  app.add_option("--jobs", options.jobs, "threads")->check(CLI::Range(1, 256));
  app.add_option("--to", options.folder, "also write the takes and their truth as a folder of annotated takes");
  app.add_option("--notes", options.notes, "also write a CSV of how far off each note is");
  app.add_flag("--wrong", options.wrong, "also list what was not right");
  app.add_flag("!--make-only", options.measure, "measure nothing");
  CLI11_PARSE(app, argc, argv);
  try {
    firmus::truth::run(options);
    return 0;
  } catch (const std::exception& error) {
    fmt::print(stderr, "firmus-truth: {}\n", error.what());
    return 1;
  }
}
