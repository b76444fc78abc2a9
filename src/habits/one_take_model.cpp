#include "one_take_model.hpp"

#include <algorithm>

namespace firmus::habits {

std::vector<std::optional<GroupTest>> OneTakeModel::tests(std::span<const std::size_t> chosen) const {
  const HuberFit fit = model_.fit(chosen);
  std::vector<std::optional<GroupTest>> tests(model_.whitened().groups.size());
  for (std::size_t group = 0; group < tests.size(); ++group)
    if (std::find(chosen.begin(), chosen.end(), group) == chosen.end()) tests[group] = model_.test(fit, group);
  return tests;
}

}  // namespace firmus::habits
