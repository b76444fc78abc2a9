#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <utility>

#include "base/ascii.hpp"
#include "base/input_file.hpp"
#include "firmus/batch.hpp"
#include "folder_takes.hpp"
#include "grade_parts.hpp"
#include "save_assignment.hpp"

namespace firmus {
namespace batch {
namespace {

namespace fs = std::filesystem;
constexpr InputKind assignment_kind{"assignment", 16 << 20}, rubric_kind{"rubric", 16 << 20};
constexpr InputKind roster_kind{"roster", 1 << 20}, overrides_kind{"list of overrides", 1 << 20};
constexpr InputKind whose_kind{"list of whose recordings they are", 1 << 20};

bool is_file(const std::string& path) {
  std::error_code error;
  return fs::is_regular_file(path, error);
}

[[noreturn]] void reject_options(std::string what, std::string remedy) {
  throw InputError(Problem{{}, std::move(what), std::move(remedy)});
}

std::string require_name(std::string_view option, const std::string& path) {
  if (path.empty()) reject_options(fmt::format("{}: the name is empty", option), "give the name of a file or folder");
  return path;
}

struct LoadedAssignment {
  Assignment assignment;
  bool named_pieces = true;         ///< results are named STUDENT.PIECE: more than the one melody of a folder
  std::vector<std::string> inputs;  ///< files that are no takes
};

std::string resolved(const fs::path& base, const std::string& path) {
  return (base / path).string();  // an absolute path stays as it is
}

Piece piece_of(const std::string& melody_path) {
  Piece piece;
  piece.melody_path = require_name("--melody", melody_path);
  piece.id = fs::path(piece.melody_path).stem().string();
  if (!fault_of_id(piece.id).empty()) piece.id = "piece";
  return piece;
}

void require_different_ids(const std::vector<Piece>& pieces) {
  std::map<std::string, std::string> seen;
  for (const Piece& piece : pieces) {
    const auto [at, is_new] = seen.try_emplace(lower_ascii(piece.id), piece.melody_path);
    if (!is_new)
      reject_options(fmt::format("--melody: \"{}\" and \"{}\" have one name", at->second, piece.melody_path),
                     "rename one of the files: the name is that of the piece");
  }
}

void give_weights(std::vector<Piece>& pieces, const GradeOptions& options) {
  for (const auto& [id, weight] : options.weights) {
    const auto piece =
        std::find_if(pieces.begin(), pieces.end(), [&id = id](const Piece& one) { return one.id == id; });
    if (piece == pieces.end())
      reject_options(fmt::format("--weight: \"{}\" is not a piece", id),
                     "give the name of a melody without its ending");
    piece->weight = weight;
  }
}

LoadedAssignment assignment_of_folder(const GradeOptions& options) {
  LoadedAssignment loaded;
  if (options.melody_paths.empty())
    reject_options("--melody is missing", "say which melody the takes are of: --melody FILE");
  Assignment& assignment = loaded.assignment;
  for (const std::string& path : options.melody_paths) assignment.pieces.push_back(piece_of(path));
  require_different_ids(assignment.pieces);
  loaded.named_pieces = assignment.pieces.size() > 1;
  if (loaded.named_pieces && (options.line.any() || options.bars))
    reject_options("--part, --tune, --verse and --bars go with one melody", "write them into an assignment file");
  for (Piece& piece : assignment.pieces) {
    piece.line = options.line;
    piece.match = options.match;
    piece.bars = options.bars;
  }
  give_weights(assignment.pieces, options);
  assignment.title = options.title.value_or("");
  assignment.date = options.date;
  assignment.takes_path = options.assignment;
  if (options.roster_path) assignment.roster_path = require_name("--roster", *options.roster_path);
  if (options.overrides_path) assignment.overrides_path = require_name("--overrides", *options.overrides_path);
  if (options.rubric_path) {
    assignment.rubric_path = require_name("--rubric", *options.rubric_path);
    assignment.rubric = read_rubric(read_input_file(*assignment.rubric_path, rubric_kind), *assignment.rubric_path);
    loaded.inputs.push_back(*assignment.rubric_path);
  }
  if (options.pass_percent) assignment.rubric.pass_percent = options.pass_percent;
  if (options.attempts) assignment.attempts = *options.attempts;
  return loaded;
}

void reject_options_of_folders(const GradeOptions& options) {
  const std::pair<const char*, bool> given[]{
      {"--melody", !options.melody_paths.empty()},   {"--roster", options.roster_path.has_value()},
      {"--match", options.match.has_value()},        {"--part, --tune and --verse", options.line.any()},
      {"--bars", options.bars.has_value()},          {"--title", options.title.has_value()},
      {"--rubric", options.rubric_path.has_value()}, {"--overrides", options.overrides_path.has_value()},
      {"--tries", options.attempts.has_value()},     {"--pass", options.pass_percent.has_value()},
      {"--weight", !options.weights.empty()},        {"--save-assignment", options.save_path.has_value()}};
  for (const auto& [option, is_given] : given)
    if (is_given)
      reject_options(fmt::format("{} goes with a folder; \"{}\" is an assignment", option, options.assignment),
                     "write it into the assignment");
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

std::optional<std::vector<std::string>> read_roster_of(const Assignment& assignment, GradePlan& plan) {
  if (!assignment.roster_path) return std::nullopt;
  const std::string text = read_input_file(*assignment.roster_path, roster_kind);
  std::vector<std::string> ids = read_roster(text, *assignment.roster_path);
  plan.addresses = read_addresses(text, *assignment.roster_path);
  return ids;
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
  Matching matching{roster, assignment.pieces, loaded.named_pieces};
  for (const Melody& melody : plan.melodies) matching.titles.push_back(melody.title);
  if (const std::string whose = plan.options.out_folder + "/" + whose_name; is_file(whose))
    matching.whose = read_whose(read_input_file(whose, whose_kind), whose, plan.names, matching);
  plan.matched = match_takes(plan.names, matching);
  plan.whose = std::move(matching.whose);
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
  const auto roster = read_roster_of(assignment, plan);
  read_melodies(plan, assignment.pieces);
  match_files(plan, loaded, roster);
  if (options.save_path) save_assignment(assignment, *options.save_path);
  plan.own_overrides = assignment.overrides_path.has_value();
  if (const std::string made = plan.options.out_folder + "/" + overrides_name; !plan.own_overrides && is_file(made))
    assignment.overrides_path = made;
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
