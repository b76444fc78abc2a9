// The net: one hidden layer from the inputs of a frame to the log odds of an onset and of an offset there.
#pragma once
#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "onset_features.hpp"

namespace firmus {

/// out = W2 tanh(W1 x + b1) + b2, where x is not standardised (the fit folds that into W1 and b1).
class OnsetNet {
 public:
  struct Logits {
    float onset, offset;
  };
  /// `weights`: for each hidden unit net_inputs weights and its bias; then for each output hidden weights and its bias.
  OnsetNet(int hidden, std::span<const float> weights);
  Logits operator()(std::span<const float, onsets::net_inputs> inputs) const;
  int hidden() const { return hidden_; }
  static std::size_t weight_count(int hidden) {
    return static_cast<std::size_t>(hidden) * (onsets::net_inputs + 1) + 2U * (static_cast<std::size_t>(hidden) + 1);
  }

 private:
  int hidden_, padded_;      ///< number of units, and rounded up to a multiple of 8 with weights of 0
  std::vector<float> into_;  ///< for each input, its weight in each unit
  std::vector<float> bias_, to_onset_, to_offset_;  ///< for each unit
  float onset_bias_, offset_bias_;
};

namespace onsets {

/// Text form: "firmus-onset-net 1", the sizes, then the weights. Throws InputError naming `file`.
OnsetNet parse_onset_net(std::string_view text, const std::string& file);
std::string onset_net_as_text(int hidden, std::span<const float> weights, std::string_view provenance);

}  // namespace onsets
}  // namespace firmus
