// Fitting the onset net by stochastic gradient descent.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "onset_features.hpp"

namespace firmus::fit {

using onsets::net_inputs;

/// Rows of inputs with their targets.
struct TrainingSet {
  std::vector<float> inputs;         ///< rows x net_inputs
  std::vector<float> onset, offset;  ///< target 0 or 1; -1: left out, too close to an annotation
  std::vector<float> weight;
  std::size_t rows() const { return onset.size(); }
};

struct TrainingPlan {
  int hidden = 48;
  int epochs = 8;
  std::uint32_t seed = 1;
  double rate = 2e-3;  ///< learning rate of Adam (Kingma & Ba, ICLR 2015), falling to 1/50
  double weight_decay = 1e-5;
  /// Dropout probabilities (Srivastava et al., JMLR 15, 2014).
  double drop_inputs = 0.1, drop_hidden = 0.3;
};

/// Weights of OnsetNet, fitted on the given rows of the set, with the inputs' standardisation folded in. Deterministic
/// for a seed on one kind of processor.
std::vector<float> train_onset_net(const TrainingSet& set, std::span<const std::uint32_t> rows,
                                   const TrainingPlan& plan);

/// Averages the logits of several nets in one wider net: hidden units concatenated, output weights divided by the
/// number of nets.
std::vector<float> average_nets(const std::vector<std::vector<float>>& nets, int hidden_each);

}  // namespace firmus::fit
