#include "grade_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <filesystem>

#include "base/input_file.hpp"
#include "folder_takes.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

namespace fs = std::filesystem;
constexpr InputKind assignment_kind{"assignment", 16 << 20}, rubric_kind{"rubric", 16 << 20};
constexpr InputKind roster_kind{"roster", 1 << 20}, overrides_kind{"list of overrides", 1 << 20};

std::string what_of(const RawGrade& raw) {
  if (raw.what.empty()) wrong_usage("nothing to grade is given", "write firmus grade FOLDER --melody FILE --out DIR");
  if (raw.what.size() > 1) wrong_usage("more than one folder or assignment is given", "write firmus grade for each");
  return path_value("FOLDER", raw.what.front());
}

GradeFormat format_of(const RawGrade& raw) {
  constexpr std::array<std::string_view, 3> choices{"text", "json", "csv"};
  return raw.format ? static_cast<GradeFormat>(choice_value("--format", *raw.format, choices)) : GradeFormat::text;
}

std::optional<Shard> shard_value(const std::optional<std::string>& text) {
  if (!text) return std::nullopt;
  constexpr int most_shards = 100000;
  Shard shard{0, 0};
  const char* const end = text->data() + text->size();
  const auto first = std::from_chars(text->data(), end, shard.number);
  if (first.ec == std::errc() && first.ptr != end && *first.ptr == '/') {
    const auto second = std::from_chars(first.ptr + 1, end, shard.of);
    if (second.ec == std::errc() && second.ptr == end && shard.number >= 1 && shard.number <= shard.of &&
        shard.of <= most_shards)
      return shard;
  }
  wrong_usage(fmt::format("--shard: \"{}\" is no part", *text), "write I/N, from 1/N to N/N, such as 2/8");
}

/// What can be told without opening a file comes first.
void check_values(GradePlan& plan, const RawGrade& raw) {
  if (!raw.out) wrong_usage("--out is missing", "say into which folder the results go: --out DIR");
  plan.out = path_value("--out", *raw.out);
  while (plan.out.size() > 1 && plan.out.back() == '/') plan.out.pop_back();
  plan.format = format_of(raw);
  plan.shard = shard_value(raw.shard);
  plan.reading = resolve(raw.reading);
  plan.jobs = raw.jobs ? whole_value("--jobs", *raw.jobs, 1, most_jobs) : default_jobs();
  if (raw.require) plan.require_percent = number_value("--require", *raw.require, {0, 100});
  if (raw.date) plan.date = date_value("--date", *raw.date);
  if (raw.match) require_pattern(*raw.match, {"--match", 0, 0});
  plan.fresh = raw.fresh;
  plan.quiet = raw.quiet;
  std::optional<Melody> none;
  (void)settle(raw.settings, none);
}

/// The assignment, its own folder, and which files are no takes.
struct Meant {
  Assignment assignment;
  bool is_folder = false;
  fs::path base;
  std::vector<std::string> inputs;
};

std::string seen_from(const fs::path& base, const std::string& path) {
  return (base / path).string();  // an absolute path stays as it is
}

Meant asked_folder(const RawGrade& raw, const std::string& folder) {
  Meant asked;
  asked.is_folder = true;
  if (!raw.melody) wrong_usage("--melody is missing", "say which melody the takes are of: --melody FILE");
  Piece piece;
  piece.melody_path = path_value("--melody", *raw.melody);
  piece.match = raw.match;
  piece.id = fs::path(piece.melody_path).stem().string();
  if (!fault_of_id(piece.id).empty()) piece.id = "piece";
  asked.assignment.takes_path = folder;
  if (raw.roster) asked.assignment.roster_path = path_value("--roster", *raw.roster);
  asked.assignment.pieces.push_back(std::move(piece));
  return asked;
}

Meant asked_file(const RawGrade& raw, const std::string& file) {
  for (const auto& [option, value] :
       {std::pair("--melody", &raw.melody), std::pair("--roster", &raw.roster), std::pair("--match", &raw.match)})
    if (value->has_value())
      wrong_usage(fmt::format("{} goes with a folder; \"{}\" is an assignment", option, file),
                  "write it into the assignment");
  Meant asked;
  asked.assignment = read_assignment(read_input_file(file, assignment_kind), file);
  asked.base = fs::path(file).parent_path();
  asked.inputs.push_back(file);
  Assignment& assignment = asked.assignment;
  for (std::optional<std::string>* path :
       {&assignment.takes_path, &assignment.roster_path, &assignment.rubric_path, &assignment.overrides_path})
    if (*path) *path = seen_from(asked.base, **path);
  for (Piece& piece : assignment.pieces) piece.melody_path = seen_from(asked.base, piece.melody_path);
  if (!assignment.takes_path) assignment.takes_path = asked.base.empty() ? "." : asked.base.string();
  if (assignment.rubric_path) {
    assignment.rubric = read_rubric(read_input_file(*assignment.rubric_path, rubric_kind), *assignment.rubric_path);
    asked.inputs.push_back(*assignment.rubric_path);
  }
  return asked;
}

Meant asked_of(const RawGrade& raw) {
  const std::string what = what_of(raw);
  std::error_code error;
  const fs::file_status status = fs::status(what, error);
  if (!fs::exists(status)) throw InputError(Problem{{what}, "there is no such folder or assignment", "check the name"});
  return fs::is_directory(status) ? asked_folder(raw, what) : asked_file(raw, what);
}

void read_melodies(GradePlan& plan, const RawGrade& raw, const Assignment& assignment) {
  for (const Piece& piece : assignment.pieces) {
    std::optional<Melody> melody = read_melody_file(piece.melody_path);
    MeasureOptions measuring;
    measuring.settings = settle(raw.settings, melody);
    if (!raw.settings.reference && piece.reference) measuring.settings.reference = *piece.reference;
    if (!raw.settings.tolerance && piece.tolerance_cents)
      measuring.settings.tolerance_cents = Cents(*piece.tolerance_cents);
    if (!plan.title.empty()) measuring.context.assignment = plan.title;
    measuring.context.piece = piece.id;
    measuring.context.date = plan.date;
    plan.measuring.push_back(std::move(measuring));
    plan.melodies.push_back(std::move(*melody));
  }
}

}  // namespace

std::vector<PieceFacts> GradePlan::piece_facts() const {
  std::vector<PieceFacts> facts;
  for (std::size_t i = 0; i < melodies.size(); ++i)
    facts.push_back({rules.pieces[i].id, melodies[i].title, rules.pieces[i].weight, melodies[i].drill});
  return facts;
}

void add_grade_options(Arguments& arguments, RawGrade& raw) {
  arguments.positionals("FOLDER|ASSIGNMENT.json", "a folder of takes of one melody, or an assignment", raw.what);
  arguments.option("--out", "DIR", "where the gradebook, pages and results go", raw.out);
  arguments.option("--melody", "FILE", "the melody (folder)", raw.melody);
  arguments.option("--roster", "CLASS.csv", "ids in a column student (folder)", raw.roster);
  arguments.option("--match", "PATTERN", "names of files: {student}, {piece}, {try}, * (folder)", raw.match);
  arguments.option("--format", "text|json|csv", "what to print (text): class.txt, or the gradebook", raw.format);
  add_settings_options(arguments, raw.settings);
  arguments.option("--require", "PERCENT", "status 3 if less of a take's judged notes is in tune", raw.require);
  arguments.option("--date", "YYYY-MM-DD", "kept in the results", raw.date);
  arguments.option("--shard", "I/N", "measure one part of N, for a job array; then join without it", raw.shard);
  arguments.flag("--fresh", "measure every take again", raw.fresh);
  arguments.option("--jobs", "N", "threads, over takes (cores)", raw.jobs);
  add_take_options(arguments, raw.reading);
  arguments.flag("--quiet", "no warnings, no progress", raw.quiet);
}

GradePlan resolve(const RawGrade& raw) {
  GradePlan plan;
  check_values(plan, raw);
  Meant asked = asked_of(raw);
  Assignment& assignment = asked.assignment;
  plan.title = assignment.title;
  if (!plan.date) plan.date = assignment.date;
  plan.folder = *assignment.takes_path;
  std::optional<std::vector<std::string>> roster;
  if (assignment.roster_path) {
    roster = read_roster(read_input_file(*assignment.roster_path, roster_kind), *assignment.roster_path);
    asked.inputs.push_back(*assignment.roster_path);
  }
  read_melodies(plan, raw, assignment);
  for (const Piece& piece : assignment.pieces) asked.inputs.push_back(piece.melody_path);
  if (assignment.overrides_path) asked.inputs.push_back(*assignment.overrides_path);
  plan.names = names_in(plan.folder, asked.inputs, roster ? Others::listed : Others::passed_over);
  plan.matched = match_takes(plan.names, {roster, assignment.pieces, !asked.is_folder});
  if (plan.matched.students.empty())
    throw InputError(Problem{{plan.folder}, "holds no takes", "give the folder of the recordings, or a roster"});
  if (assignment.overrides_path)
    plan.rules.overrides =
        read_overrides(read_input_file(*assignment.overrides_path, overrides_kind), *assignment.overrides_path,
                       plan.matched.students, assignment.pieces, assignment.rubric.most_points());
  plan.rules.rubric = assignment.rubric;
  plan.rules.attempts = assignment.attempts;
  plan.rules.pieces = std::move(assignment.pieces);
  return plan;
}

}  // namespace firmus::cli
