// JSON of the page's own requests. Only this room sees this header.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <span>
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
/// A whole table of keys.
[[nodiscard]] Json schema_json(std::span<const job::Row> rows);
/// {typed, value, form} of one key.
[[nodiscard]] Json field_json(std::span<const job::Row> rows, const std::string& key,
                              const std::string& typed);

}  // namespace halfround::serve
