// What the builder should read beside the numbers: warnings, what moved, what was assumed; and the cautions.
#pragma once

#include "job/solve.h"

namespace halfround::job {

/// In the order: warnings, what moved, what was assumed.
[[nodiscard]] std::vector<Note> notes_of(const Job& job, const Answer& answer);

/// The usual cautions, once and plainly, for the summary sheet and the terminal.
[[nodiscard]] const std::vector<std::string>& cautions();

/// "left blade, upper end": a member's end in words.
[[nodiscard]] std::string end_in_words(const std::string& member, bike::End end);
/// "left blade", "steerer", "right insert".
[[nodiscard]] std::string member_in_words(const std::string& member);

}  // namespace halfround::job
