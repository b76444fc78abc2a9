// The fitted part: one hidden layer from the inputs of a frame to the log odds of an onset and an offset there.
#pragma once
#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "onset_features.hpp"

namespace firmus {

/// out = W2 tanh(W1 x + b1) + b2, x the inputs as they are (the fit folds its standardisation into W1 and b1).
class OnsetNet {
 public:
  struct Logits {
    float onset, offset;
  };
  /// `weights`: for each hidden unit net_inputs weights and its bias; then for each output hidden weights and its bias.
  OnsetNet(int hidden, std::span<const float> weights);
  Logits operator()(std::span<const float, net_inputs> inputs) const;
  int hidden() const { return hidden_; }
  static std::size_t weight_count(int hidden) {
    return static_cast<std::size_t>(hidden) * (net_inputs + 1) + 2U * (static_cast<std::size_t>(hidden) + 1);
  }

 private:
  int hidden_, padded_;      ///< units, and places for them: a multiple of 8, the spare ones with weights of 0
  std::vector<float> into_;  ///< for each input, its weight into each unit
  std::vector<float> bias_, to_onset_, to_offset_;  ///< for each unit
  float onset_bias_, offset_bias_;
};

/// Text form: "firmus-onset-net 1", the sizes, then the weights. Throws InputError naming `file`.
OnsetNet parse_onset_net(std::string_view text, const std::string& file);
std::string onset_net_as_text(int hidden, std::span<const float> weights, std::string_view provenance);

}  // namespace firmus
