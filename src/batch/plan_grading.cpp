#include <fmt/format.h>

#include <filesystem>
#include <utility>

#include "base/input_file.hpp"
#include "firmus/batch.hpp"
#include "folder_takes.hpp"

namespace firmus {
namespace batch {
namespace {

namespace fs = std::filesystem;
constexpr InputKind assignment_kind{"assignment", 16 << 20}, rubric_kind{"rubric", 16 << 20};
constexpr InputKind roster_kind{"roster", 1 << 20}, overrides_kind{"list of overrides", 1 << 20};

[[noreturn]] void reject_options(std::string what, std::string remedy) {
  throw InputError(Problem{{}, std::move(what), std::move(remedy)});
}

std::string require_name(std::string_view option, const std::string& path) {
  if (path.empty()) reject_options(fmt::format("{}: the name is empty", option), "give the name of a file or folder");
  return path;
}

struct LoadedAssignment {
  Assignment assignment;
  bool is_folder = false;           ///< made from a folder, not read from a file
  std::vector<std::string> inputs;  ///< files that are no takes
};

std::string resolved(const fs::path& base, const std::string& path) {
  return (base / path).string();  // an absolute path stays as it is
}

LoadedAssignment assignment_of_folder(const GradeOptions& options) {
  LoadedAssignment loaded;
  loaded.is_folder = true;
  if (!options.melody_path) reject_options("--melody is missing", "say which melody the takes are of: --melody FILE");
  Piece piece;
  piece.melody_path = require_name("--melody", *options.melody_path);
  piece.line = options.line;
  piece.match = options.match;
  piece.bars = options.bars;
  piece.id = fs::path(piece.melody_path).stem().string();
  if (!fault_of_id(piece.id).empty()) piece.id = "piece";
  loaded.assignment.takes_path = options.assignment;
  if (options.roster_path) loaded.assignment.roster_path = require_name("--roster", *options.roster_path);
  loaded.assignment.pieces.push_back(std::move(piece));
  return loaded;
}

void reject_options_of_folders(const GradeOptions& options) {
  if (options.line.any())
    reject_options(
        fmt::format("--part, --tune and --verse go with a folder; \"{}\" is an assignment", options.assignment),
        "write part, tune or verse beside the melody of the piece");
  for (const auto& [option, value] :
       {std::pair("--melody", &options.melody_path), std::pair("--roster", &options.roster_path),
        std::pair("--match", &options.match)})
    if (value->has_value())
      reject_options(fmt::format("{} goes with a folder; \"{}\" is an assignment", option, options.assignment),
                     "write it into the assignment");
  if (options.bars)
    reject_options(fmt::format("--bars goes with a folder; \"{}\" is an assignment", options.assignment),
                   "write \"bars\" into the piece");
}

/// Paths in an assignment are relative to the folder of its file.
void resolve_paths(Assignment& assignment, const fs::path& base) {
  for (std::optional<std::string>* path :
       {&assignment.takes_path, &assignment.roster_path, &assignment.rubric_path, &assignment.overrides_path})
    if (*path) *path = resolved(base, **path);
  for (Piece& piece : assignment.pieces) piece.melody_path = resolved(base, piece.melody_path);
  if (!assignment.takes_path) assignment.takes_path = base.empty() ? "." : base.string();
}

LoadedAssignment assignment_of_file(const GradeOptions& options) {
  reject_options_of_folders(options);
  const std::string& file = options.assignment;
  LoadedAssignment loaded;
  loaded.assignment = read_assignment(read_input_file(file, assignment_kind), file);
  loaded.inputs.push_back(file);
  Assignment& assignment = loaded.assignment;
  resolve_paths(assignment, fs::path(file).parent_path());
  if (assignment.rubric_path) {
    assignment.rubric = read_rubric(read_input_file(*assignment.rubric_path, rubric_kind), *assignment.rubric_path);
    loaded.inputs.push_back(*assignment.rubric_path);
  }
  return loaded;
}

LoadedAssignment load_assignment(const GradeOptions& options) {
  std::error_code error;
  const fs::file_status status = fs::status(options.assignment, error);
  if (!fs::exists(status))
    throw InputError(Problem{{options.assignment}, "there is no such folder or assignment", "check the name"});
  return fs::is_directory(status) ? assignment_of_folder(options) : assignment_of_file(options);
}

void read_melodies(GradePlan& plan, const std::vector<Piece>& pieces) {
  const SettingsOverrides& overrides = plan.options.settings;
  for (const Piece& piece : pieces) {
    std::optional<Melody> melody = read_melody_file(piece.melody_path, piece.line);
    if (piece.bars) melody = passage_of(std::move(*melody), *piece.bars, piece.melody_path);
    MeasureOptions measuring;
    measuring.settings = apply_overrides(overrides, melody);
    if (!overrides.reference && piece.reference) measuring.settings.reference = *piece.reference;
    if (!overrides.tolerance_cents && piece.tolerance_cents)
      measuring.settings.tolerance_cents = Cents(*piece.tolerance_cents);
    if (!plan.title.empty()) measuring.context.assignment = plan.title;
    measuring.context.piece = piece.id;
    measuring.context.date = plan.date;
    plan.measuring.push_back(std::move(measuring));
    plan.melodies.push_back(std::move(*melody));
  }
}

std::optional<std::vector<std::string>> read_roster_of(const Assignment& assignment) {
  if (!assignment.roster_path) return std::nullopt;
  return read_roster(read_input_file(*assignment.roster_path, roster_kind), *assignment.roster_path);
}

/// Which files of the takes' folder are whose takes.
void match_files(GradePlan& plan, const LoadedAssignment& loaded,
                 const std::optional<std::vector<std::string>>& roster) {
  const Assignment& assignment = loaded.assignment;
  std::vector<std::string> inputs = loaded.inputs;
  if (assignment.roster_path) inputs.push_back(*assignment.roster_path);
  for (const Piece& piece : assignment.pieces) inputs.push_back(piece.melody_path);
  if (assignment.overrides_path) inputs.push_back(*assignment.overrides_path);
  plan.names = names_in(plan.takes_folder, inputs, roster ? NonAudioFiles::list : NonAudioFiles::skip);
  plan.matched = match_takes(plan.names, {roster, assignment.pieces, !loaded.is_folder});
  if (plan.matched.students.empty())
    throw InputError(Problem{{plan.takes_folder}, "holds no takes", "give the folder of the recordings, or a roster"});
}

}  // namespace
}  // namespace batch

GradePlan plan_grading(const GradeOptions& options) {
  using namespace batch;
  GradePlan plan;
  plan.options = options;
  std::string& out = plan.options.out_folder;
  while (out.size() > 1 && out.back() == '/') out.pop_back();
  LoadedAssignment loaded = load_assignment(options);
  Assignment& assignment = loaded.assignment;
  plan.title = assignment.title;
  plan.date = options.date ? options.date : assignment.date;
  plan.takes_folder = *assignment.takes_path;
  const auto roster = read_roster_of(assignment);
  read_melodies(plan, assignment.pieces);
  match_files(plan, loaded, roster);
  if (assignment.overrides_path)
    plan.rules.overrides =
        read_overrides(read_input_file(*assignment.overrides_path, overrides_kind), *assignment.overrides_path,
                       plan.matched.students, assignment.pieces, assignment.rubric.most_points());
  plan.rules.rubric = assignment.rubric;
  plan.rules.attempts = assignment.attempts;
  plan.rules.pieces = std::move(assignment.pieces);
  return plan;
}

}  // namespace firmus
