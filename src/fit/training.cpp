#include "training.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <random>

namespace firmus::fit {
namespace {

constexpr Eigen::Index batch_rows = 128, outputs = 2;

using Matrix = Eigen::MatrixXf;
using Vector = Eigen::VectorXf;
using RowMap = Eigen::Map<const Vector>;

struct Scale {
  Vector mean, inverse_sd;
};

RowMap row_of(const TrainingSet& set, std::uint32_t row) {
  return {set.inputs.data() + static_cast<std::size_t>(row) * net_inputs, net_inputs};
}

Scale scale_of(const TrainingSet& set, std::span<const std::uint32_t> rows) {
  Eigen::VectorXd sum = Eigen::VectorXd::Zero(net_inputs), square = sum;
  for (const std::uint32_t row : rows) {
    const Eigen::VectorXd x = row_of(set, row).cast<double>();
    sum += x;
    square += x.cwiseAbs2();
  }
  const double n = static_cast<double>(rows.size());
  const Eigen::VectorXd mean = sum / n;
  const Eigen::VectorXd variance = (square / n - mean.cwiseAbs2()).cwiseMax(1e-4);
  return {mean.cast<float>(), variance.cwiseSqrt().cwiseInverse().cast<float>()};
}

/// All parameters of the net; also holds their gradients and the running means of these.
struct Layers {
  Matrix first, second;  ///< hidden x inputs, outputs x hidden
  Vector first_bias, second_bias;

  static Layers zero(Eigen::Index hidden) {
    return {Matrix::Zero(hidden, net_inputs), Matrix::Zero(outputs, hidden), Vector::Zero(hidden),
            Vector::Zero(outputs)};
  }
};

/// Adam on one array of weights.
template <class Array>
void adam_step(Array& weights, const Array& gradient, Array& mean, Array& square, float rate, float shrink) {
  mean += 0.1F * (gradient - mean);
  square += 0.001F * (gradient.cwiseAbs2() - square);
  weights.array() -= rate * mean.array() / (square.array().sqrt() + 1e-8F) + shrink * weights.array();
}

/// A net being fitted.
class Learner {
 public:
  Learner(const TrainingSet& set, const Scale& scale, const TrainingPlan& plan)
      : set_(set),
        scale_(scale),
        plan_(plan),
        random_(plan.seed),
        weights_(Layers::zero(plan.hidden)),
        mean_(weights_),
        square_(weights_) {
    std::normal_distribution<float> normal;
    const auto draw = [&] { return normal(random_); };
    weights_.first = Matrix::NullaryExpr(plan.hidden, net_inputs, draw) / std::sqrt(static_cast<float>(net_inputs));
    weights_.second = Matrix::NullaryExpr(outputs, plan.hidden, draw) * 0.1F;
  }

  void shuffle(std::vector<std::uint32_t>& rows) { std::ranges::shuffle(rows, random_); }

  /// `share_done`: of the whole fit, 0 to 1.
  void learn(std::span<const std::uint32_t> rows, double share_done) {
    const auto count = static_cast<Eigen::Index>(rows.size());
    Matrix x(net_inputs, count);
    for (Eigen::Index c = 0; c < count; ++c)
      x.col(c) = (row_of(set_, rows[static_cast<std::size_t>(c)]) - scale_.mean).cwiseProduct(scale_.inverse_sd);
    x.array() *= kept(net_inputs, count, plan_.drop_inputs).array();
    const Matrix active = ((weights_.first * x).colwise() + weights_.first_bias).array().tanh();
    const Matrix mask = kept(plan_.hidden, count, plan_.drop_hidden);
    const Matrix seen = active.cwiseProduct(mask);
    const Matrix error = errors((weights_.second * seen).colwise() + weights_.second_bias, rows);
    const Matrix back =
        ((weights_.second.transpose() * error).array() * mask.array() * (1 - active.array().square())).matrix();
    step({back * x.transpose(), error * seen.transpose(), back.rowwise().sum(), error.rowwise().sum()}, share_done);
  }

  const Layers& weights() const { return weights_; }

 private:
  /// Dropout mask: 0 with probability `drop`, otherwise 1 / (1 - drop).
  Matrix kept(Eigen::Index rows, Eigen::Index columns, double drop) {
    const auto limit = static_cast<std::uint32_t>(drop * 65536);
    const float raised = 1.0F / (1.0F - static_cast<float>(drop));
    Matrix mask(rows, columns);
    std::uint64_t bits = 0;
    for (Eigen::Index i = 0; i < mask.size(); ++i) {
      bits = i % 4 == 0 ? random_() : bits >> 16;
      mask.data()[i] = (bits & 0xFFFF) < limit ? 0.0F : raised;
    }
    return mask;
  }

  /// Gradient of the cross-entropy with respect to the logits.
  Matrix errors(const Matrix& logits, std::span<const std::uint32_t> rows) const {
    Matrix error = (1 / (1 + (-logits.array()).exp())).matrix();
    for (Eigen::Index c = 0; c < error.cols(); ++c) {
      const std::uint32_t row = rows[static_cast<std::size_t>(c)];
      const std::array<float, outputs> targets{set_.onset[row], set_.offset[row]};
      for (Eigen::Index o = 0; o < outputs; ++o) {
        const float target = targets[static_cast<std::size_t>(o)];
        error(o, c) = target < 0 ? 0.0F : (error(o, c) - target) * set_.weight[row] / static_cast<float>(rows.size());
      }
    }
    return error;
  }

  void step(const Layers& slope, double share_done) {
    ++steps_;
    const double rate = plan_.rate * std::pow(0.02, share_done);
    const double correct = std::sqrt(1 - std::pow(0.999, steps_)) / (1 - std::pow(0.9, steps_));
    const auto by = static_cast<float>(rate * correct), shrink = static_cast<float>(rate * plan_.weight_decay);
    adam_step(weights_.first, slope.first, mean_.first, square_.first, by, shrink);
    adam_step(weights_.second, slope.second, mean_.second, square_.second, by, shrink);
    adam_step(weights_.first_bias, slope.first_bias, mean_.first_bias, square_.first_bias, by, shrink);
    adam_step(weights_.second_bias, slope.second_bias, mean_.second_bias, square_.second_bias, by, shrink);
  }

  const TrainingSet& set_;
  const Scale& scale_;
  const TrainingPlan& plan_;
  std::mt19937_64 random_;
  Layers weights_, mean_, square_;
  int steps_ = 0;
};

/// The weights in the order of OnsetNet, for inputs that are not standardised.
std::vector<float> flat(const Layers& layers, const Scale& scale) {
  const Matrix first = layers.first * scale.inverse_sd.asDiagonal();
  const Vector bias = layers.first_bias - first * scale.mean;
  std::vector<float> weights;
  for (Eigen::Index h = 0; h < first.rows(); ++h) {
    for (Eigen::Index i = 0; i < net_inputs; ++i) weights.push_back(first(h, i));
    weights.push_back(bias(h));
  }
  for (Eigen::Index o = 0; o < outputs; ++o) {
    for (Eigen::Index h = 0; h < first.rows(); ++h) weights.push_back(layers.second(o, h));
    weights.push_back(layers.second_bias(o));
  }
  return weights;
}

}  // namespace

std::vector<float> train_onset_net(const TrainingSet& set, std::span<const std::uint32_t> rows,
                                   const TrainingPlan& plan) {
  const Scale scale = scale_of(set, rows);
  Learner learner(set, scale, plan);
  std::vector<std::uint32_t> order(rows.begin(), rows.end());
  const double all = static_cast<double>(plan.epochs) * static_cast<double>(order.size());
  for (int epoch = 0; epoch < plan.epochs; ++epoch) {
    learner.shuffle(order);
    for (std::size_t at = 0; at < order.size(); at += batch_rows) {
      const std::size_t count = std::min<std::size_t>(batch_rows, order.size() - at);
      const double done = static_cast<double>(static_cast<std::size_t>(epoch) * order.size() + at) / all;
      learner.learn(std::span(order).subspan(at, count), done);
    }
  }
  return flat(learner.weights(), scale);
}

std::vector<float> average_nets(const std::vector<std::vector<float>>& nets, int hidden_each) {
  const auto hidden = static_cast<std::size_t>(hidden_each);
  constexpr std::size_t width = net_inputs + 1;
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
