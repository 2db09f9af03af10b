// Pieces of a job's text looked at one by one: is this a value, does a key sleep in this comment. Only this
// room sees this header. Frame: none.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "job/text_map.h"

namespace halfround::job {

/// Is it one value of the file's grammar, a list where `list`?
[[nodiscard]] bool is_value(std::string_view typed, bool list);
[[nodiscard]] std::string quoted(std::string_view typed);
[[nodiscard]] std::string_view trimmed(std::string_view text);
/// "# cap = 2   # usual": where its value stands in the line; nothing where `name` doesn't sleep there.
[[nodiscard]] std::optional<Span> asleep(std::string_view line, std::string_view name);
/// "# [wheel.tyre]"
[[nodiscard]] bool asleep_heading(std::string_view line);

}  // namespace halfround::job
