// What the builder should read beside the numbers: warnings, what moved, what was assumed; and the cautions.
#pragma once

#include "job/solve.h"

namespace halfround::job {

/// Bare steerer under the seat for the cutter that faces it, mm [common practice].
inline constexpr double kLeastSeatGap = 3.0;

/// In the order: warnings, what moved, what was assumed.
[[nodiscard]] std::vector<Note> notes_of(const Job& job, const Answer& answer);

/// The usual cautions, once and plainly, for the summary sheet and the terminal.
[[nodiscard]] const std::vector<std::string>& cautions();

}  // namespace halfround::job
