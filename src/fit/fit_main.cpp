// firmus-fit: fits the onset weights from folders of annotated takes, and the weights of each cross-validation fold.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <random>

#include "altered_takes.hpp"
#include "annotated_takes.hpp"
#include "base/base.hpp"
#include "base/frames.hpp"
#include "evidence/evidence.hpp"
#include "frame_features.hpp"
#include "onset_net.hpp"
#include "training.hpp"

namespace firmus::fit {
namespace {

// Frames within 15 ms of an annotation are positive; those at 15 to 45 ms are left out, since annotators differ by that
// much.
constexpr double is_event_s = 0.015, is_none_s = 0.045;
constexpr double far_from_events_s = 0.2;
constexpr std::uint32_t keep_one_in = 4;  // of the frames far from any event, weighted to represent all

float target_of(double time_s, const std::vector<AnnotatedNote>& notes, double AnnotatedNote::*event,
                double& nearest_s) {
  nearest_s = 1e9;
  for (const auto& note : notes) nearest_s = std::min(nearest_s, std::abs(note.*event - time_s));
  return nearest_s <= is_event_s ? 1.0F : nearest_s < is_none_s ? -1.0F : 0.0F;
}

/// Subsampling of a take's frames: one in `near_one_in` near its events, one in `far_one_in` of the others, weighted to
/// represent all.
struct Share {
  std::uint32_t near_one_in = 1, far_one_in = keep_one_in;
};
constexpr Share all_of_it{}, part_of_it{3, 3 * keep_one_in};  // an altered copy adds less information than a new take

void add_rows(const Lesson& take, const PitchRange& range, Share share, TrainingSet& set, std::mt19937& random) {
  const Evidence evidence = gather_evidence(take.samples, range);
  const CoarseF0Track f0_track = viterbi_f0_track(evidence);
  const auto features = onsets::features_of_frames(take.samples, evidence, f0_track,
                                                   onsets::harmonics_f0_hz(f0_track.f0_hz), 0, evidence.frames());
  const onsets::NetInputs inputs(features, f0_track.f0_hz);
  for (std::size_t i = 0; i < evidence.frames(); ++i) {
    const double time_s = time_of_frame(i);
    double to_onset_s = 0, to_offset_s = 0;
    const float onset = target_of(time_s, take.notes, &AnnotatedNote::onset_s, to_onset_s);
    const float offset = target_of(time_s, take.notes, &AnnotatedNote::offset_s, to_offset_s);
    const bool far = std::min(to_onset_s, to_offset_s) > far_from_events_s;
    if (random() % (far ? share.far_one_in : share.near_one_in) != 0) continue;
    set.onset.push_back(onset);
    set.offset.push_back(offset);
    set.weight.push_back(far ? static_cast<float>(keep_one_in) : 1.0F);
    set.inputs.resize(set.inputs.size() + net_inputs);
    inputs.fill(i, std::span<float, net_inputs>(set.inputs.data() + set.inputs.size() - net_inputs, net_inputs));
  }
}

PitchRange range_of(const AnnotatedTake& take, const Lesson& lesson) {
  if (!take.melody) return estimate_pitch_range(lesson.samples);
  const PitchRange range = search_range_of(*take.melody);
  return {range.lowest_hz * lesson.speed, range.highest_hz * lesson.speed, range.full_frames_from_hz() * lesson.speed};
}

void add_take(const AnnotatedTake& take, bool altered_too, TrainingSet& set, std::mt19937& random) {
  const Lesson lesson{read_recording(take.take_path).samples, take.notes};
  add_rows(lesson, range_of(take, lesson), all_of_it, set, random);
  if (!altered_too) return;
  for (const auto alter : {in_noise, at_other_speed, in_a_room_or_clipped, on_an_instrument}) {
    const Lesson altered = alter(lesson, random);
    add_rows(altered, range_of(take, altered), part_of_it, set, random);
  }
}

struct Options {
  std::vector<std::string> folders;
  std::string out, provenance;
  int folds = 0, first_seed = 1, seeds = 1;
  bool altered = false;
  TrainingPlan plan;
};

void fit_and_write(const TrainingSet& set, std::span<const std::uint32_t> rows, const Options& options,
                   const std::string& path, const std::string& what) {
  std::vector<std::vector<float>> nets;
  for (int i = 0; i < options.seeds; ++i) {
    TrainingPlan plan = options.plan;
    plan.seed = static_cast<std::uint32_t>(options.first_seed + i);
    nets.push_back(train_onset_net(set, rows, plan));
  }
  const int hidden = options.plan.hidden;
  write_whole_file(path, onsets::onset_net_as_text(hidden * options.seeds, average_nets(nets, hidden), what));
  fmt::print("{}: {}\n", path, what);
  std::fflush(stdout);
}

/// Assigns melodies to folds in descending order of their number of takes, so that the folds have similar sizes.
std::map<std::string, int> deal_folds(const std::vector<AnnotatedTake>& takes, int folds) {
  std::map<std::string, int> size_of;
  for (const auto& take : takes)
    if (take.melody) ++size_of[take.line];
  std::vector<std::pair<std::string, int>> lines(size_of.begin(), size_of.end());
  std::ranges::stable_sort(lines, [](const auto& a, const auto& b) { return a.second > b.second; });
  std::vector<int> load(static_cast<std::size_t>(folds));
  std::map<std::string, int> fold_of;
  for (const auto& [line, size] : lines) {
    const auto least = std::ranges::min_element(load);
    *least += size;
    fold_of[line] = static_cast<int>(least - load.begin());
  }
  return fold_of;
}

/// The rows of all takes, one after the other; take i has rows [first[i], first[i + 1]).
struct Lessons {
  TrainingSet set;
  std::vector<std::uint32_t> first{0};

  std::vector<std::uint32_t> rows_of(const auto& wanted) const {
    std::vector<std::uint32_t> rows;
    for (std::size_t i = 0; i + 1 < first.size(); ++i)
      if (wanted(i))
        for (std::uint32_t row = first[i]; row < first[i + 1]; ++row) rows.push_back(row);
    return rows;
  }
};

Lessons lessons_of(const std::vector<AnnotatedTake>& takes, bool altered_too) {
  Lessons lessons;
  std::mt19937 random(7);
  for (const AnnotatedTake& take : takes) {
    add_take(take, altered_too, lessons.set, random);
    lessons.first.push_back(static_cast<std::uint32_t>(lessons.set.rows()));
  }
  return lessons;
}

void fit_folds(const std::vector<AnnotatedTake>& takes, const Lessons& lessons, const Options& options) {
  const auto fold_of = deal_folds(takes, options.folds);
  const auto is_in = [&](std::size_t take, int fold) {
    const auto at = fold_of.find(takes[take].line);
    return at != fold_of.end() && at->second == fold;
  };
  for (int fold = 0; fold < options.folds; ++fold) {
    const auto rows = lessons.rows_of([&](std::size_t take) { return !is_in(take, fold); });
    fit_and_write(lessons.set, rows, options, fmt::format("{}.fold{}", options.out, fold),
                  fmt::format("{}{} rows, without the lines of fold {}", options.provenance, rows.size(), fold));
  }
  std::string folds_csv = "take,fold\n";
  for (const auto& take : takes)
    if (take.melody) folds_csv += fmt::format("{},{}\n", take.id, fold_of.at(take.line));
  write_whole_file(options.out + ".folds.csv", folds_csv);
}

int run(const Options& options) {
  std::vector<AnnotatedTake> takes;
  for (const auto& folder : options.folders)
    for (auto& take : read_annotated_takes(folder)) takes.push_back(std::move(take));
  name_lines_by_intervals(takes);
  const Lessons lessons = lessons_of(takes, options.altered);
  if (options.folds > 0) fit_folds(takes, lessons, options);
  const auto rows = lessons.rows_of([](std::size_t) { return true; });
  fit_and_write(lessons.set, rows, options, options.out,
                fmt::format("{}{} takes, {} rows", options.provenance, takes.size(), rows.size()));
  return 0;
}

}  // namespace
}  // namespace firmus::fit

int main(int argc, char** argv) {
  firmus::fit::Options options;
  CLI::App app{
      "Fits the onset weights from folders of annotated takes (takes/ID.flac, truth/ID.csv, takes.csv, melodies/)"};
  app.add_option("folder", options.folders, "folders of annotated takes")->required();
  app.add_option("--to", options.out, "weights file to write")->required();
  app.add_option("--folds", options.folds, "also fit this many cross-validation folds, apart by line");
  app.add_flag("--altered", options.altered, "also learn from altered copies: noise, speed, rooms, instruments");
  app.add_option("--hidden", options.plan.hidden, "hidden units of each net");
  app.add_option("--epochs", options.plan.epochs, "times over all rows");
  app.add_option("--seeds", options.seeds, "nets averaged");
  app.add_option("--first-seed", options.first_seed, "of the first of them");
  app.add_option("--drop-inputs", options.plan.drop_inputs, "share of inputs left out in a step");
  app.add_option("--drop-hidden", options.plan.drop_hidden, "share of hidden units left out in a step");
  app.add_option("--provenance", options.provenance, "written into the file: whose takes these are");
  CLI11_PARSE(app, argc, argv);
  try {
    return firmus::fit::run(options);
  } catch (const std::exception& error) {
    fmt::print(stderr, "firmus-fit: {}\n", error.what());
    return 1;
  }
}
