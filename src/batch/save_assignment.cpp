#include "save_assignment.hpp"

#include <filesystem>
#include <nlohmann/json.hpp>

#include "base/base.hpp"
#include "base/file_content.hpp"
#include "base/system/files.hpp"
#include "firmus/error.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

Json piece_as_json(const Piece& piece, const fs::path& base) {
  Json json{{"id", piece.id}, {"melody", fs::proximate(piece.melody_path, base).generic_string()}};
  if (piece.line.part) json["part"] = *piece.line.part;
  if (piece.line.tune) json["tune"] = *piece.line.tune;
  if (piece.line.verse) json["verse"] = *piece.line.verse;
  if (piece.bars) json["bars"] = bar_range_text(*piece.bars);
  if (piece.match) json["match"] = *piece.match;
  if (piece.weight != 1) json["weight"] = piece.weight;
  return json;
}

Json rubric_as_json(const Rubric& rubric) {
  Json bands = Json::array();
  for (const Band& band : rubric.bands) bands.push_back({{"within_cents", band.within_cents}, {"points", band.points}});
  Json json{{"bands", bands},
            {"missing", rubric.missing},
            {"extra", rubric.extra},
            {"other_note", rubric.other_note},
            {"least_judged_share", rubric.least_judged_share}};
  if (rubric.pass_percent) json["pass_percent"] = *rubric.pass_percent;
  if (rubric.round_points || rubric.round_standings)
    json["round"] = {{"points", rubric.round_points}, {"standings", rubric.round_standings}};
  return json;
}

}  // namespace

void save_assignment(const Assignment& assignment, const std::string& file) {
  const fs::path folder = fs::path(file).parent_path();
  const fs::path base = folder.empty() ? fs::path(".") : folder;
  Json json;
  if (!assignment.title.empty()) json["title"] = assignment.title;
  if (assignment.date) json["date"] = *assignment.date;
  json["takes"] = fs::proximate(*assignment.takes_path, base).generic_string();
  if (assignment.roster_path) json["roster"] = fs::proximate(*assignment.roster_path, base).generic_string();
  json["pieces"] = Json::array();
  for (const Piece& piece : assignment.pieces) json["pieces"].push_back(piece_as_json(piece, base));
  json["rubric"] = rubric_as_json(assignment.rubric);
  json["tries"] = to_string(assignment.attempts);
  if (assignment.overrides_path) json["overrides"] = fs::proximate(*assignment.overrides_path, base).generic_string();
  const std::string text = json.dump(2) + "\n";
  if (system::name_exists(file)) {
    if (file_content(file) == text) return;
    throw InputError(Problem{{file}, "is there already and says something else", "choose another --save-assignment"});
  }
  write_whole_file(file, text);
}

}  // namespace firmus::batch
