#include "one_take_model.hpp"

#include <algorithm>

namespace firmus::habits {

std::vector<std::optional<GroupTest>> OneTakeModel::tests(std::span<const std::size_t> selected) const {
  const HuberFit fit = regression_.fit(selected);
  std::vector<std::optional<GroupTest>> tests(regression_.whitened().groups.size());
  for (std::size_t group = 0; group < tests.size(); ++group)
    if (std::find(selected.begin(), selected.end(), group) == selected.end())
      tests[group] = regression_.test(fit, group);
  return tests;
}

}  // namespace firmus::habits
