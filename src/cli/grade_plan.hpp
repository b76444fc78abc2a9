// firmus grade: the options as typed, and the whole assignment that they mean, checked before any work.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "firmus/grading.hpp"
#include "firmus/take.hpp"
#include "run_lock.hpp"
#include "settings_options.hpp"
#include "take_options.hpp"

namespace firmus::cli {

struct RawGrade {
  std::vector<std::string> what;
  RawTakeOptions reading;
  RawSettings settings;
  std::optional<std::string> melody, roster, match, out, format, jobs, require, date, shard;
  bool fresh = false, quiet = false;
};

enum class GradeFormat { text, json, csv };

struct GradePlan {
  std::string folder;              ///< of the takes
  std::vector<std::string> names;  ///< files in it that may be takes
  GradingRules rules;
  std::string title;
  std::optional<std::string> date;
  std::vector<Melody> melodies;           ///< one a piece
  std::vector<MeasureOptions> measuring;  ///< one a piece; student comes with the take
  Matched matched;
  std::string out;
  GradeFormat format = GradeFormat::text;
  std::optional<Shard> shard;
  std::optional<double> require_percent;
  int jobs = 1;
  bool fresh = false, quiet = false;
  ReadOptions reading;

  std::string path_of(const MatchedTake& take) const { return folder + "/" + names[take.file]; }
  std::vector<PieceFacts> piece_facts() const;
};

void add_grade_options(Arguments& arguments, RawGrade& raw);

/// Reads everything but the takes. Throws InputError.
GradePlan resolve(const RawGrade& raw);

}  // namespace firmus::cli
