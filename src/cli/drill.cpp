// firmus drill RESULT... --out DIR
#include <array>
#include <deque>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "batch/find_results.hpp"
#include "batch/out_folder.hpp"
#include "commands.hpp"
#include "firmus/page.hpp"
#include "firmus/practice.hpp"
#include "firmus/read_result.hpp"
#include "firmus/sound_writer.hpp"
#include "firmus/take.hpp"
#include "firmus/tone.hpp"
#include "report/practice_words.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

struct RawDrill {
  std::vector<std::string> results;
  std::optional<std::string> out, low, high;
};

struct DrillPlan {
  std::vector<std::string> results;
  std::string out;
  PracticeOptions options;
};

DrillPlan resolve(const RawDrill& raw) {
  DrillPlan plan;
  if (raw.results.empty()) usage_error("no result is given", "write firmus drill RESULT... --out DIR");
  for (const std::string& path : raw.results) plan.results.push_back(path_value("RESULT", path));
  if (!raw.out) usage_error("no folder is given for the drills", "say --out DIR");
  plan.out = path_value("--out", *raw.out);
  if (raw.low) plan.options.low = note_value("--low", *raw.low);
  if (raw.high) plan.options.high = note_value("--high", *raw.high);
  if (plan.options.low && plan.options.high && midi_key(*plan.options.low) > midi_key(*plan.options.high))
    usage_error("--low is above --high", "give the lower note with --low");
  return plan;
}

void require_one_student(const std::vector<TrendTake>& takes) {
  std::set<std::string> students;
  for (const TrendTake& take : takes) students.insert(take.result.context.student.value_or(""));
  if (students.size() > 1)
    throw InputError(Problem{{}, "the results are of more than one student", "give those of one"});
}

/// A melody of a drill, or its sound.
struct DrillFile {
  std::string name;
  const Drill* drill;
};

std::vector<DrillFile> drill_files(const Practice& practice, std::string_view extension) {
  std::vector<DrillFile> files;
  for (std::size_t i = 0; i < practice.faults.size(); ++i)
    for (std::size_t k = 0; k < practice.faults[i].drills.size(); ++k)
      files.push_back({report::drill_stem(practice, i, k) + std::string(extension), &practice.faults[i].drills[k]});
  return files;
}

void write_track(const std::string& path, const Drill& drill) {
  SoundWriter writer(path, SoundFormat::flac, tone_rate_hz);
  make_tones(read_melody(drill.melody, drill.name), {}, [&](std::span<const float> block) { writer.write(block); });
  writer.finish();
}

void write_files(const std::string& folder, const Practice& practice) {
  const auto melodies = drill_files(practice, ".melody"), tracks = drill_files(practice, ".flac");
  std::vector<std::string> names{"practice.txt", "practice.html"};
  for (const auto* files : {&melodies, &tracks})
    for (const DrillFile& file : *files) names.push_back(file.name);
  batch::OutFolder out(folder, names);
  for (const DrillFile& file : melodies) out.write(file.name, file.drill->melody);
  for (const DrillFile& file : tracks) write_track(folder + "/" + file.name, *file.drill);
  out.write("practice.txt", practice_as_text(practice));
  out.write("practice.html", practice_page(practice));
  out.finish();
}

}  // namespace

ExitStatus run_drill(int argc, const char* const* argv) {
  RawDrill raw;
  Arguments arguments("firmus drill",
                      "What to practise: short melodies from easy to hard for what recurs in a\n"
                      "student's results, a track of each, and a page that says what to do.",
                      "  firmus drill results/ --out practice\n"
                      "  firmus drill week1.json week2.json --low A3 --high E5 --out practice\n"
                      "\n"
                      "Drills stay within the comfortable range, unless --low or --high say otherwise.\n"
                      "\n"
                      "Exit status: 0 done; 1 a result is damaged; 2 the command line is wrong, or\n"
                      "there is no result; 4 the drills could not be written.");
  arguments.positionals("RESULT", "result files of one student, or folders of them", raw.results);
  arguments.option("--out", "DIR", "where the drills and the page go", raw.out);
  arguments.option("--low", "NOTE", "lowest note of the drills (of the comfortable range)", raw.low);
  arguments.option("--high", "NOTE", "highest note of the drills (of the comfortable range)", raw.high);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  const DrillPlan plan = resolve(raw);
  require_output();
  const batch::FoundResults found = batch::find_results(plan.results);
  diagnose(found.damaged);
  require_one_student(found.takes);
  std::deque<Melody> melodies;  // a deque, since `takes` point to them
  std::vector<PracticeTake> takes;
  for (const TrendTake& take : found.takes)
    if (auto melody = melody_of(take.result, take.name))
      takes.push_back({&melodies.emplace_back(std::move(*melody)), &take.result});
  if (takes.empty() && found.damaged.empty())
    throw InputError(Problem{{},
                             "no result of a take with a melody or a key is in what was given",
                             "give results of \"firmus check --melody FILE --out DIR\", or with --key"});
  const Practice practice = plan_practice(takes, plan.options);
  write_files(plan.out, practice);
  put(practice_as_text(practice));
  flush_output();
  return found.damaged.empty() ? done : take_not_measured;
}

}  // namespace firmus::cli
