// Student's t distribution (Boost.Math).
#pragma once

namespace firmus {

/// How often chance alone gives a t at least as far from 0, either way.
double two_sided_p(double t, double df);

/// The t that a share of `probability` lies below; 0 < probability < 1.
double t_quantile(double probability, double df);

}  // namespace firmus
