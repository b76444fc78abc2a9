// The table: a row a condition, each figure with its target in brackets followed by "!" where it is missed.
#pragma once
#include <string>
#include <vector>

#include "conditions.hpp"
#include "judge.hpp"

namespace firmus::truth {

struct Row {
  Condition condition;
  Score score;
};

/// Head, rows, all rows together, and how many targets were reached.
std::string table_of(const std::vector<Row>& rows);

}  // namespace firmus::truth
