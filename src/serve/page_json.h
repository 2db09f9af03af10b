// JSON of the page's own requests. Only this room sees this header.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "job/schema.h"

namespace halfround::serve {

using Json = nlohmann::ordered_json;

inline constexpr int kDeepestJson = 8;  ///< brackets within brackets; a request has three

/// Nothing where the text is no JSON, is nested too deep or is not an object.
[[nodiscard]] std::optional<Json> parsed(std::string_view text);

/// "length"
[[nodiscard]] const char* word_of(job::Form form);
[[nodiscard]] Json problem_json(const base::Problem& problem);
[[nodiscard]] Json problems_json(const base::Problems& problems);
/// The whole table of keys.
[[nodiscard]] Json schema_json();

}  // namespace halfround::serve
