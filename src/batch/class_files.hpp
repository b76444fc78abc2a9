// From the saved results of all takes to the pages of each student and the gradebook of the class.
#pragma once
#include "firmus/batch.hpp"
#include "out_folder.hpp"

namespace firmus::batch {

/// Writes all files of an assignment except the results, which must be there, into `report` too; stops where a signal
/// comes, which `report.signal` then holds. `on_interrupt` is called before threads are waited for. Throws WriteError.
void write_class(const GradePlan& plan, const BatchEvents& events, OutFolder& out, GradeReport& report);

}  // namespace firmus::batch
