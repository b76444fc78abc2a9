// Which of the rows found are told, judged by the errors of their own notes, and in which order.
#pragma once
#include <string_view>
#include <vector>

#include "firmus/habits.hpp"

namespace firmus::habits {

inline constexpr int most_told_of_a_partition = 2;
/// Whether the groups of this family part the notes between them (low, middle, high), so that the last one of them
/// follows from the others.
bool is_partition(std::string_view family);

/// Takes the decision from rows that their notes do not bear out: a mean error of less than 10 cents or on the other
/// side than the test found, or fewer than half of the notes off that way. Significant rows of which every note is in
/// tune become `within_tolerance`; leaning ones of that kind lose their decision, and so do all but the first two of a
/// partition. Rows left without a decision stay where they are intervals. Order: chronic, leaning, within the
/// tolerance, else as given; then the others, the largest mean error first.
void keep_what_is_told(std::vector<SharedHabit>& rows);

}  // namespace firmus::habits
