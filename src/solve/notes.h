// What the builder should read beside the numbers: warnings, what moved, what was assumed; and the cautions.
#pragma once

#include "solve/solve.h"

namespace halfround::solve {

/// In the order: warnings, what moved, what was assumed.
[[nodiscard]] std::vector<Note> notes_of(const job::Job& job, const Answer& answer);

/// The usual cautions, once and plainly, for the summary sheet and the terminal.
[[nodiscard]] const std::vector<std::string>& cautions();

}  // namespace halfround::solve
