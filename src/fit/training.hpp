// Fitting the onset net by stochastic gradient descent.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "onset_features.hpp"

namespace firmus::fit {

/// Rows of inputs with their targets (1, 0, or nothing where the annotation is too near to tell).
struct TrainingSet {
  std::vector<float> inputs;         ///< rows x net_inputs
  std::vector<float> onset, offset;  ///< 0, 1, or -1: not to be learned from
  std::vector<float> weight;
  std::size_t rows() const { return onset.size(); }
};

struct TrainingPlan {
  int hidden = 24;
  int epochs = 6;
  std::uint32_t seed = 1;
  double rate = 2e-3;  ///< of Adam (Kingma & Ba, ICLR 2015), falling to a fiftieth over the epochs
  double weight_decay = 1e-5;
};

/// Weights of OnsetNet with the inputs' standardisation folded in. Deterministic for a seed.
std::vector<float> train_onset_net(const TrainingSet& set, const TrainingPlan& plan);

/// Nets whose logits are averaged are one wider net: hidden units side by side, output weights divided.
std::vector<float> average_nets(const std::vector<std::vector<float>>& nets, int hidden_each);

}  // namespace firmus::fit
