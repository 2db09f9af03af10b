// What has to hold of a job file's bytes before any grammar looks at them. Frame: none.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"

namespace halfround::job {

inline constexpr std::size_t kLargestJob = 1'000'000;  ///< bytes; a job with every key is some 10 kB
inline constexpr int kDeepestJob = 24;                 ///< brackets within brackets, or dots in one key

/// The first thing that keeps the text from being a job at all: empty, too big, no text, or nested too deep.
///   in     text  any bytes
///   out    nothing where the text may be parsed; line and column count from 1, columns in characters
[[nodiscard]] std::optional<base::Problem> stopped_at_door(std::string_view text, const std::string& file);

/// The length of the UTF-8 character at the front of `text`, 0 where there is none.
[[nodiscard]] std::size_t character_length(std::string_view text);

}  // namespace halfround::job
