#include "training.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

namespace firmus::fit {
namespace {

constexpr std::size_t batch_rows = 128;
constexpr int width = net_inputs + 1;

struct Scale {
  std::vector<float> mean, inverse_sd;
};

Scale scale_of(const TrainingSet& set) {
  std::vector<double> sum(net_inputs), square(net_inputs);
  for (std::size_t r = 0; r < set.rows(); ++r)
    for (std::size_t i = 0; i < net_inputs; ++i) {
      const double x = set.inputs[r * net_inputs + i];
      sum[i] += x;
      square[i] += x * x;
    }
  Scale scale{std::vector<float>(net_inputs), std::vector<float>(net_inputs)};
  const double n = static_cast<double>(set.rows());
  for (std::size_t i = 0; i < net_inputs; ++i) {
    const double mean = sum[i] / n;
    scale.mean[i] = static_cast<float>(mean);
    scale.inverse_sd[i] = static_cast<float>(1.0 / std::sqrt(std::max(square[i] / n - mean * mean, 1e-4)));
  }
  return scale;
}

/// Adam on one flat vector of weights.
class Adam {
 public:
  explicit Adam(std::size_t count) : first_(count), second_(count) {}
  void step(std::vector<float>& weights, std::vector<float>& gradient, double rate, double decay) {
    ++steps_;
    const double correct = std::sqrt(1 - std::pow(0.999, steps_)) / (1 - std::pow(0.9, steps_));
    const auto scaled = static_cast<float>(rate * correct);
    const auto shrink = static_cast<float>(rate * decay);
    for (std::size_t i = 0; i < weights.size(); ++i) {
      first_[i] += 0.1F * (gradient[i] - first_[i]);
      second_[i] += 0.001F * (gradient[i] * gradient[i] - second_[i]);
      weights[i] -= scaled * first_[i] / (std::sqrt(second_[i]) + 1e-8F) + shrink * weights[i];
      gradient[i] = 0;
    }
  }

 private:
  int steps_ = 0;
  std::vector<float> first_, second_;
};

/// Adds one row's gradient of the cross-entropy.
void learn_row(const std::vector<float>& weights, std::vector<float>& gradient, const float* x, float onset,
               float offset, float weight, int hidden) {
  std::vector<float> active(static_cast<std::size_t>(hidden));
  const auto first_out = static_cast<std::size_t>(hidden) * width;
  const auto out_width = static_cast<std::size_t>(hidden) + 1;
  for (int h = 0; h < hidden; ++h) {
    const float* unit = weights.data() + static_cast<std::ptrdiff_t>(h) * width;
    float sum = 0;
#pragma omp simd reduction(+ : sum)
    for (int i = 0; i < net_inputs; ++i) sum += unit[i] * x[i];
    active[static_cast<std::size_t>(h)] = std::tanh(sum + unit[net_inputs]);
  }
  std::vector<float> back(static_cast<std::size_t>(hidden), 0.0F);
  const float targets[] = {onset, offset};
  for (std::size_t o = 0; o < 2; ++o) {
    if (targets[o] < 0) continue;
    const float* out = weights.data() + first_out + o * out_width;
    float* slope = gradient.data() + first_out + o * out_width;
    float logit = out[hidden];
    for (int h = 0; h < hidden; ++h) logit += out[h] * active[static_cast<std::size_t>(h)];
    const float error = weight * (1.0F / (1.0F + std::exp(-logit)) - targets[o]);
    for (int h = 0; h < hidden; ++h) {
      slope[h] += error * active[static_cast<std::size_t>(h)];
      back[static_cast<std::size_t>(h)] += error * out[h];
    }
    slope[hidden] += error;
  }
  for (int h = 0; h < hidden; ++h) {
    const float a = active[static_cast<std::size_t>(h)];
    const float error = back[static_cast<std::size_t>(h)] * (1 - a * a);
    float* slope = gradient.data() + static_cast<std::ptrdiff_t>(h) * width;
    for (int i = 0; i < net_inputs; ++i) slope[i] += error * x[i];
    slope[net_inputs] += error;
  }
}

void fold_scale_in(std::vector<float>& weights, const Scale& scale, int hidden) {
  for (int h = 0; h < hidden; ++h) {
    float* unit = weights.data() + static_cast<std::ptrdiff_t>(h) * width;
    for (std::size_t i = 0; i < net_inputs; ++i) {
      unit[i] *= scale.inverse_sd[i];
      unit[net_inputs] -= unit[i] * scale.mean[i];
    }
  }
}

}  // namespace

std::vector<float> train_onset_net(const TrainingSet& set, const TrainingPlan& plan) {
  const Scale scale = scale_of(set);
  const auto hidden = static_cast<std::size_t>(plan.hidden);
  std::vector<float> weights(hidden * width + 2 * (hidden + 1));
  std::mt19937 random(plan.seed);
  std::normal_distribution<float> normal;
  for (std::size_t i = 0; i < hidden * width; ++i)
    weights[i] = normal(random) / std::sqrt(static_cast<float>(net_inputs));
  for (std::size_t i = hidden * width; i < weights.size(); ++i) weights[i] = normal(random) * 0.1F;
  std::vector<float> gradient(weights.size());
  Adam adam(weights.size());
  std::vector<std::uint32_t> order(set.rows());
  std::iota(order.begin(), order.end(), 0U);
  std::array<float, net_inputs> x{};
  const double batches = static_cast<double>(plan.epochs) * static_cast<double>(set.rows()) / batch_rows;
  double done = 0;
  for (int epoch = 0; epoch < plan.epochs; ++epoch) {
    std::shuffle(order.begin(), order.end(), random);
    for (std::size_t at = 0; at < order.size(); at += batch_rows, ++done) {
      const std::size_t end = std::min(order.size(), at + batch_rows);
      for (std::size_t k = at; k < end; ++k) {
        const float* raw = set.inputs.data() + static_cast<std::size_t>(order[k]) * net_inputs;
        for (std::size_t i = 0; i < net_inputs; ++i) x[i] = (raw[i] - scale.mean[i]) * scale.inverse_sd[i];
        learn_row(weights, gradient, x.data(), set.onset[order[k]], set.offset[order[k]],
                  set.weight[order[k]] / static_cast<float>(end - at), plan.hidden);
      }
      adam.step(weights, gradient, plan.rate * std::pow(0.02, done / batches), plan.weight_decay);
    }
  }
  fold_scale_in(weights, scale, plan.hidden);
  return weights;
}

std::vector<float> average_nets(const std::vector<std::vector<float>>& nets, int hidden_each) {
  const auto hidden = static_cast<std::size_t>(hidden_each);
  const auto share = 1.0F / static_cast<float>(nets.size());
  std::vector<float> wide;
  for (const auto& net : nets)
    wide.insert(wide.end(), net.begin(), net.begin() + static_cast<std::ptrdiff_t>(hidden * width));
  for (std::size_t o = 0; o < 2; ++o) {
    float bias = 0;
    for (const auto& net : nets) {
      const float* out = net.data() + hidden * width + o * (hidden + 1);
      for (std::size_t h = 0; h < hidden; ++h) wide.push_back(out[h] * share);
      bias += out[hidden] * share;
    }
    wide.push_back(bias);
  }
  return wide;
}

}  // namespace firmus::fit
