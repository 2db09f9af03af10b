// A fit-up's answer: what to take off which end of a solved fork. Frame: the member's. docs/fit-up.md
#pragma once

#include <string>

#include "job/fit_up_read.h"
#include "solve/solve.h"
#include "study/fit_up.h"

namespace halfround::solve {

/// A report with its answer; what a sheet draws and prints.
struct FitUpAnswer {
  std::string job, title;  ///< "left blade, upper end, onto the steerer"
  job::FitUpReport report;
  study::FitUp found;
};

/// The answer for one end of a solved fork.
///   fails  fit-up-not-mitred: that end has no mitre; those of study::fit_up
[[nodiscard]] base::Result<FitUpAnswer> fit_up(const Answer& answer, const job::FitUpReport& report);

}  // namespace halfround::solve
