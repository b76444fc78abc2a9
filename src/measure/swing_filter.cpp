#include "swing_filter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace firmus::measure {
namespace {

constexpr double least_noise_cents = 0.4;             ///< less would take rounding for a swing
constexpr double largest_innovation_bend_cents = 20;  ///< a frame further off is a slip

/// What is believed of wander, swing and its quadrature: means, and covariances (symmetric, the upper half).
struct Belief {
  double wander = 0, swing = 0, across = 0;
  double ww = 0, ws = 0, wa = 0, ss = 0, sa = 0, aa = 0;
};

/// The sum of the swing so far, and its covariances with the rest and itself.
struct Sum {
  double mean = 0, with_wander = 0, with_swing = 0, with_across = 0, variance = 0;
};

/// One step of the model: the swing turns and fades, and both are driven by noise.
struct Step {
  double c = 0, s = 0, wander_variance = 0, swing_variance = 0;
  Step(const SwingModel& model, double step_s) {
    const double keep = std::exp(-step_s / model.keeps_s), angle = 2 * std::numbers::pi * model.rate_hz * step_s;
    c = keep * std::cos(angle), s = keep * std::sin(angle);
    wander_variance = model.wander_cents_per_root_s * model.wander_cents_per_root_s * step_s;
    swing_variance = model.extent_cents * model.extent_cents * (1 - keep * keep);
  }
};

/// The steps from look to look, nearly all of one length.
class Steps {
 public:
  explicit Steps(const SwingModel& model) : model_(model), usual_(model, usual_s) {}
  Step over(double step_s) const { return std::abs(step_s - usual_s) < 1e-6 ? usual_ : Step(model_, step_s); }

 private:
  static constexpr double usual_s = SwingFilter::every * frame_s;
  const SwingModel& model_;
  Step usual_;
};

void turn(double& swing, double& across, const Step& step) {
  const double old = swing;
  swing = step.c * old + step.s * across;
  across = step.c * across - step.s * old;
}

void predict(Belief& belief, const Step& step) {
  const double c = step.c, s = step.s, ss = belief.ss, sa = belief.sa, aa = belief.aa;
  turn(belief.swing, belief.across, step);
  turn(belief.ws, belief.wa, step);
  belief.ss = c * c * ss + 2 * c * s * sa + s * s * aa + step.swing_variance;
  belief.aa = s * s * ss - 2 * c * s * sa + c * c * aa + step.swing_variance;
  belief.sa = c * s * (aa - ss) + (c * c - s * s) * sa;
  belief.ww += step.wander_variance;
}

/// How much of what a look says beyond the expected goes to each.
struct Gain {
  double off = 0, variance = 1, wander = 0, swing = 0, across = 0;  ///< the last three: covariances with the look
  double inverse = 1;                                               ///< of the variance
  Gain(const Belief& belief, double cents, double noise_variance)
      : off(cents - belief.wander - belief.swing),
        wander(belief.ww + belief.ws),
        swing(belief.ws + belief.ss),
        across(belief.wa + belief.sa) {
    variance = wander + swing + noise_variance;
    inverse = 1 / variance;
  }
};

void take_in(Belief& belief, const Gain& gain) {
  const double w = gain.wander * gain.inverse, s = gain.swing * gain.inverse, a = gain.across * gain.inverse;
  belief.wander += w * gain.off, belief.swing += s * gain.off, belief.across += a * gain.off;
  belief.ww -= w * gain.wander, belief.ws -= w * gain.swing, belief.wa -= w * gain.across;
  belief.ss -= s * gain.swing, belief.sa -= s * gain.across, belief.aa -= a * gain.across;
}

void take_in(Sum& sum, const Gain& gain) {
  const double with_look = sum.with_wander + sum.with_swing, share = with_look * gain.inverse;
  sum.mean += share * gain.off;
  sum.with_wander -= share * gain.wander, sum.with_swing -= share * gain.swing, sum.with_across -= share * gain.across;
  sum.variance -= share * with_look;
}

void add_swing(Sum& sum, const Belief& belief) {
  sum.mean += belief.swing;
  sum.variance += 2 * sum.with_swing + belief.ss;
  sum.with_wander += belief.ws, sum.with_swing += belief.ss, sum.with_across += belief.sa;
}

Belief before_all(const SwingModel& model, double first_cents) {
  constexpr double far_cents = 300;  // says nothing of where the note is
  Belief belief;
  belief.wander = first_cents;
  belief.ww = far_cents * far_cents;
  belief.ss = belief.aa = model.extent_cents * model.extent_cents;
  return belief;
}

/// Logarithm of a product of many factors, with one logarithm for many of them.
class LogOfProduct {
 public:
  void times(double factor) {
    product_ *= factor;
    if (product_ > 1e-200 && product_ < 1e200) return;
    log_ += std::log(product_);
    product_ = 1;
  }
  double log() const { return log_ + std::log(product_); }

 private:
  double log_ = 0, product_ = 1;
};

using Vector = std::array<double, 3>;

/// What is expected at a look when all after it is known: mean + cov F' (predicted cov)^-1 (later - predicted).
Vector smoothed(const Belief& now, const Belief& next, const Step& step, const Vector& later) {
  // predicted covariance | later - predicted, solved by Gauss-Jordan
  std::array<std::array<double, 4>, 3> rows = {{{next.ww, next.ws, next.wa, later[0] - next.wander},
                                                {next.ws, next.ss, next.sa, later[1] - next.swing},
                                                {next.wa, next.sa, next.aa, later[2] - next.across}}};
  for (std::size_t p = 0; p < 3; ++p)
    for (std::size_t i = 0; i < 3; ++i) {
      const double by = i == p ? 0 : rows[i][p] / rows[p][p];
      for (std::size_t j = p; j < 4; ++j) rows[i][j] -= by * rows[p][j];
    }
  const double w = rows[0][3] / rows[0][0], s = rows[1][3] / rows[1][1], a = rows[2][3] / rows[2][2];
  const double back_s = step.c * s - step.s * a, back_a = step.s * s + step.c * a;
  return {now.wander + now.ww * w + now.ws * back_s + now.wa * back_a,
          now.swing + now.ws * w + now.ss * back_s + now.sa * back_a,
          now.across + now.wa * w + now.sa * back_s + now.aa * back_a};
}

}  // namespace

SwingFilter::SwingFilter(const NoteSeries& series, const std::vector<double>& cents, Part part, Part middle) {
  for (std::size_t i = part.from; i < part.to; i += every) {
    const double step_s = looks_.empty() ? 0 : series.time_s[i] - series.time_s[i - every];
    looks_.push_back({cents[i], step_s, i >= middle.from && i < middle.to});
    in_middle_ += looks_.back().in_middle ? 1 : 0;
  }
  noise_variance_ = std::max(least_noise_cents * least_noise_cents, roughness());
}

/// Variance of single looks' errors, from second differences.
double SwingFilter::roughness() const {
  double sum = 0;
  for (std::size_t i = 1; i + 1 < looks_.size(); ++i) {
    const double bend = looks_[i - 1].cents - 2 * looks_[i].cents + looks_[i + 1].cents;
    sum += std::min(bend * bend, largest_innovation_bend_cents * largest_innovation_bend_cents) / 6;
  }
  return sum / static_cast<double>(std::max<std::size_t>(1, looks_.size() - 2));
}

SwingSum SwingFilter::explain(const SwingModel& model) const {
  Belief belief = before_all(model, looks_.front().cents);
  Sum sum;
  double off_squares = 0;
  LogOfProduct variances;
  const Steps steps(model);
  for (const Look& look : looks_) {
    if (look.step_s > 0) {
      const Step step = steps.over(look.step_s);
      predict(belief, step);
      turn(sum.with_swing, sum.with_across, step);
    }
    const Gain gain(belief, look.cents, noise_variance_);
    take_in(sum, gain);
    take_in(belief, gain);
    variances.times(gain.variance);
    off_squares += gain.off * gain.off * gain.inverse;
    if (look.in_middle) add_swing(sum, belief);
  }
  return {-0.5 * (variances.log() + off_squares), sum.mean, std::max(0.0, sum.variance)};
}

std::vector<double> SwingFilter::smooth(const SwingModel& model) const {
  const Steps steps(model);
  std::vector<std::array<Belief, 2>> kept;  // before and after each look
  Belief belief = before_all(model, looks_.front().cents);
  for (const Look& look : looks_) {
    if (look.step_s > 0) predict(belief, steps.over(look.step_s));
    const Belief before = belief;
    take_in(belief, Gain(belief, look.cents, noise_variance_));
    kept.push_back({before, belief});
  }
  std::vector<double> swing(looks_.size());
  Vector later = {belief.wander, belief.swing, belief.across};
  swing.back() = later[1];
  for (std::size_t i = looks_.size() - 1; i-- > 0;) {
    later = smoothed(kept[i][1], kept[i + 1][0], steps.over(looks_[i + 1].step_s), later);
    swing[i] = later[1];
  }
  return swing;
}

}  // namespace firmus::measure
