// Many takes: measured in parallel, their results written to a folder, resumed after an interruption, graded as a
// class. Nothing is printed; a fault of one take is part of its outcome and does not stop the others.
#pragma once
#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "firmus/grading.hpp"
#include "firmus/take.hpp"

namespace firmus {

/// Settings that replace those of a melody or an assignment; where none is set, theirs hold.
struct SettingsOverrides {
  std::optional<Reference> reference;
  std::optional<Cents> tolerance_cents;
  std::optional<Hertz> a4;
  std::optional<std::string> tuning;  ///< as parse_tuning reads it
};
/// The settings to measure with. Where `a4` or `tuning` is set, the target pitches of `melody` are computed again; it
/// may be nullopt. Throws InputError when there is no such tuning.
Settings apply_overrides(const SettingsOverrides& overrides, std::optional<Melody>& melody);

enum class TakeStatus {
  passed,
  below_required,  ///< a smaller share of the judged notes is in tune than was required
  not_measured     ///< it could not be read or measured, or it is another melody
};

struct TakeOutcome {
  std::string name;  ///< path of the recording
  Result result;
  TakeStatus status = TakeStatus::passed;
  std::vector<Problem> warnings;   ///< about the recording
  std::optional<Problem> problem;  ///< why `status` is not `passed`
  std::string text;                ///< what CheckOptions::render made of it
};

/// How a run reports while it works. All calls come from the thread that started the run. Exceptions from them end it.
struct BatchEvents {
  /// The folder for results is ready; measuring begins.
  std::function<void()> on_start;
  /// In the order of the takes, when all files of the take are written.
  std::function<void(const TakeOutcome& outcome)> on_take;
  /// Where set, SIGINT and SIGTERM are handled by the run. After a signal no further take is begun; finished results
  /// are written and reported; then this is called, which may end the program. When it returns, the run waits for the
  /// takes that were begun, drops their results, and returns the signal.
  std::function<void(int signal)> on_interrupt;
};

struct CheckOptions {
  std::vector<std::string> takes;  ///< paths; "-" is standard input
  std::optional<Melody> melody;    ///< none: nearest notes, no mark
  MeasureOptions measuring;        ///< `trace_dir`, where set, gets a folder for each take
  ReadOptions reading;
  std::optional<double> require_percent;  ///< of the judged notes in tune
  std::optional<Result> since;            ///< an earlier take of the melody to compare with (reason_not_comparable)
  std::optional<std::string> out_folder;  ///< for the files of each take, under the stem of its name
  int jobs = 1;                           ///< threads
  /// Both are called on any thread, several at a time; both may be empty.
  std::function<std::string(const std::string& take, const Result& result)> render;     ///< TakeOutcome::text
  std::function<std::string(const std::string& take, const Result& result)> next_step;  ///< last line of the text files
};

/// Throws InputError when two takes would write the same file.
void require_different_stems(const std::vector<std::string>& takes);

/// Measures every take. Returns the signal that ended the run early, if one came. Throws InputError (takes of the same
/// stem, files in the way) and WriteError.
std::optional<int> check_takes(const CheckOptions& options, const BatchEvents& events = {});

/// One part of the takes of an assignment, for jobs on several machines: 1 <= number <= of.
struct Shard {
  int number = 1, of = 1;
};

struct GradeOptions {
  std::string assignment;  ///< a folder of takes, or an assignment file
  /// With a folder alone: what an assignment file would say. At least one melody.
  std::vector<std::string> melody_paths;
  std::optional<std::string> roster_path, match, title, rubric_path, overrides_path;
  std::optional<TriesRule> attempts;
  std::optional<double> pass_percent;
  std::vector<std::pair<std::string, double>> weights;  ///< of pieces, by id
  LineChoice line;                                      ///< with one melody: the line of the score that is it
  std::optional<BarRange> bars;          ///< with one melody: the passage that is expected; none: the whole melody
  std::optional<std::string> save_path;  ///< an assignment file to write that says the same
  std::string out_folder;
  SettingsOverrides settings;
  std::optional<std::string> date;  ///< YYYY-MM-DD; replaces that of the assignment
  std::optional<double> require_percent;
  std::optional<Shard> shard;  ///< measures this part only; a later run without it grades the class
  bool fresh = false;          ///< measures again what earlier runs measured
  ReadOptions reading;
  int jobs = 1;  ///< threads
};

/// An assignment with all files read but the takes.
struct GradePlan {
  GradeOptions options;
  std::string title;
  std::optional<std::string> date;
  std::string takes_folder;
  std::vector<std::string> names;  ///< of the files in it that may be takes
  Matched matched;
  std::vector<std::string> addresses;  ///< of the students of the roster, for private/send.csv alone; may be empty
  bool own_overrides = false;          ///< the assignment or the command line names a table of overrides
  std::vector<WhoseRow> whose;         ///< what the teacher filled into private/whose.csv
  GradingRules rules;
  std::vector<Melody> melodies;                    ///< one for each piece
  std::vector<MeasureOptions> measuring;           ///< one for each piece; the student is added for each take
  std::string measured_by{measurement_version()};  ///< results of another version are not used again
};
/// Throws InputError: a file that cannot be read or is wrong, no takes.
GradePlan plan_grading(const GradeOptions& options);

/// The takes that a run of this plan measures: all, or those of its shard.
std::vector<const MatchedTake*> takes_to_measure(const GradePlan& plan);

struct GradeReport {
  std::optional<int> signal;                              ///< that ended the run early; then the rest is empty
  Gradebook book;                                         ///< empty after the run of a shard
  std::string class_text, gradebook_csv, gradebook_json;  ///< as in class.txt, gradebook.csv and gradebook.json
};

/// Measures the takes whose results are not in the folder yet, and writes results, pages and the gradebook. The same
/// takes and plan give the same bytes, however often a run was ended before. Throws InputError (another run works in
/// the folder, files in the way) and WriteError.
GradeReport grade_assignment(const GradePlan& plan, const BatchEvents& events = {});

}  // namespace firmus
