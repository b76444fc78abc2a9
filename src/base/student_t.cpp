#include "base/student_t.hpp"

#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace firmus {

double two_sided_p(double t, double df) {
  const boost::math::students_t distribution(df);
  return 2 * boost::math::cdf(boost::math::complement(distribution, std::fabs(t)));
}

double t_quantile(double probability, double df) {
  return boost::math::quantile(boost::math::students_t(df), probability);
}

}  // namespace firmus
