// The answer as tables people can read on a terminal, lengths mm and angles degrees.
#pragma once

#include <string>

#include "job/solve.h"

namespace halfround::job {

[[nodiscard]] std::string to_text(const Answer& answer);

/// The verdicts alone, one a line.
[[nodiscard]] std::string verdicts_text(const Answer& answer);

}  // namespace halfround::job
