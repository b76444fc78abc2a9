// firmus-fit: fits the onset weights from folders of annotated takes, and the weights of each cross-validation fold.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <random>

#include "annotated_takes.hpp"
#include "firmus/base.hpp"
#include "firmus/decode.hpp"
#include "frame_measures.hpp"
#include "onset_net.hpp"
#include "training.hpp"

namespace firmus::fit {
namespace {

// An event is learned within 15 ms of its annotation and nothing is learned to 45 ms: annotators differ by that much.
constexpr double is_event_s = 0.015, is_none_s = 0.045;
constexpr double far_from_events_s = 0.2;
constexpr std::uint32_t keep_one_in = 4;  // of the frames far from any event, weighted up to stand for all

float target_of(double time_s, const std::vector<AnnotatedNote>& notes, double AnnotatedNote::*event,
                double& nearest_s) {
  nearest_s = 1e9;
  for (const auto& note : notes) nearest_s = std::min(nearest_s, std::abs(note.*event - time_s));
  return nearest_s <= is_event_s ? 1.0F : nearest_s < is_none_s ? -1.0F : 0.0F;
}

void add_rows(const AnnotatedTake& take, const Samples& samples, TrainingSet& set, std::mt19937& random) {
  Evidence evidence;
  const PitchRange range = take.melody ? range_for(*take.melody) : look_for_range(samples);
  gather_pitch_evidence(samples, range, 1, evidence);
  const auto measures = measure_frames(samples, evidence, harmonics_at_hz(evidence.line_hz), 0, evidence.frames());
  const NetInputs inputs(measures, evidence.line_hz);
  for (std::size_t i = 0; i < evidence.frames(); ++i) {
    const double time_s = static_cast<double>(i) * Evidence::hop_s;
    double to_onset_s = 0, to_offset_s = 0;
    const float onset = target_of(time_s, take.notes, &AnnotatedNote::onset_s, to_onset_s);
    const float offset = target_of(time_s, take.notes, &AnnotatedNote::offset_s, to_offset_s);
    const bool far = std::min(to_onset_s, to_offset_s) > far_from_events_s;
    if (far && random() % keep_one_in != 0) continue;
    set.onset.push_back(onset);
    set.offset.push_back(offset);
    set.weight.push_back(far ? static_cast<float>(keep_one_in) : 1.0F);
    set.inputs.resize(set.inputs.size() + net_inputs);
    inputs.fill(i, std::span<float, net_inputs>(set.inputs.data() + set.inputs.size() - net_inputs, net_inputs));
  }
}

void append(TrainingSet& to, const TrainingSet& from) {
  to.inputs.insert(to.inputs.end(), from.inputs.begin(), from.inputs.end());
  to.onset.insert(to.onset.end(), from.onset.begin(), from.onset.end());
  to.offset.insert(to.offset.end(), from.offset.begin(), from.offset.end());
  to.weight.insert(to.weight.end(), from.weight.begin(), from.weight.end());
}

struct Options {
  std::vector<std::string> folders;
  std::string out, provenance;
  int folds = 0, hidden = 24, epochs = 6, seeds = 2;
};

void fit_and_write(const TrainingSet& set, const Options& options, const std::string& path, const std::string& what) {
  std::vector<std::vector<float>> nets;
  for (int seed = 1; seed <= options.seeds; ++seed) {
    TrainingPlan plan;
    plan.hidden = options.hidden;
    plan.epochs = options.epochs;
    plan.seed = static_cast<std::uint32_t>(seed);
    nets.push_back(train_onset_net(set, plan));
  }
  write_whole_file(path, onset_net_as_text(options.hidden * options.seeds, average_nets(nets, options.hidden), what));
  fmt::print("{}: {}\n", path, what);
  std::fflush(stdout);
}

/// Lines dealt to folds by falling number of takes, so that folds are of like size.
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

int run(const Options& options) {
  std::vector<AnnotatedTake> takes;
  for (const auto& folder : options.folders)
    for (auto& take : read_annotated_takes(folder)) takes.push_back(std::move(take));
  name_lines_by_intervals(takes);
  std::vector<TrainingSet> rows(takes.size());
  std::mt19937 random(7);
  for (std::size_t i = 0; i < takes.size(); ++i) {
    const Take take = read_take(takes[i].take_path);
    add_rows(takes[i], take.samples, rows[i], random);
  }
  const auto fold_of = deal_folds(takes, std::max(1, options.folds));
  for (int fold = 0; fold < options.folds; ++fold) {
    TrainingSet set;
    int used = 0;
    for (std::size_t i = 0; i < takes.size(); ++i) {
      const auto at = fold_of.find(takes[i].line);
      if (at != fold_of.end() && at->second == fold) continue;
      append(set, rows[i]);
      ++used;
    }
    fit_and_write(set, options, fmt::format("{}.fold{}", options.out, fold),
                  fmt::format("{}{} takes, without the lines of fold {}", options.provenance, used, fold));
  }
  std::string folds_csv = "take,fold\n";
  for (const auto& take : takes)
    if (take.melody) folds_csv += fmt::format("{},{}\n", take.id, fold_of.at(take.line));
  write_whole_file(options.out + ".folds.csv", folds_csv);
  TrainingSet set;
  for (const auto& part : rows) append(set, part);
  fit_and_write(set, options, options.out,
                fmt::format("{}{} takes, {} rows", options.provenance, takes.size(), set.rows()));
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
  app.add_option("--hidden", options.hidden, "hidden units of each net");
  app.add_option("--epochs", options.epochs, "times over all rows");
  app.add_option("--seeds", options.seeds, "nets averaged");
  app.add_option("--provenance", options.provenance, "written into the file: whose takes these are");
  CLI11_PARSE(app, argc, argv);
  try {
    return firmus::fit::run(options);
  } catch (const std::exception& error) {
    fmt::print(stderr, "firmus-fit: {}\n", error.what());
    return 1;
  }
}
