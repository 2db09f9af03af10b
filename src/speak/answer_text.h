// The answer as tables people can read on a terminal, lengths mm and angles degrees.
#pragma once

#include <string>

#include "solve/solve.h"

namespace halfround::speak {

[[nodiscard]] std::string to_text(const solve::Answer& answer);

/// The verdicts alone, one a line.
[[nodiscard]] std::string verdicts_text(const solve::Answer& answer);

}  // namespace halfround::speak
