// Student's t distribution (Boost.Math).
#pragma once

namespace firmus {

/// Two-sided p-value: the probability of |T| >= |t| with `df` degrees of freedom.
double two_sided_p(double t, double df);

/// Quantile: the t with P(T < t) = `probability`, 0 < probability < 1.
double t_quantile(double probability, double df);

}  // namespace firmus
