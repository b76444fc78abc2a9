// A trend as made from results, without any: figures that get better week by week, and two habits.
#pragma once
#include <string>

#include "firmus/trend.hpp"

namespace firmus::made {

/// `dates` Mondays; cents off fall evenly from 30 by 2 a week, notes in tune rise from half.
StudentTrend student_of(const std::string& name, int dates);

}  // namespace firmus::made
