// What a sheet calls the state of its job.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace halfround::job {

/// 8 hex digits that change when the text does (FNV-1a).
[[nodiscard]] std::string revision_of(std::string_view text);

/// "14 (72c3c680)": the number the page counts by, and the mark of the text (revision_of).
///   in  number  of the job's history; 0: it is a file and has none, the mark stands alone
[[nodiscard]] std::string revision_words(std::int64_t number, std::string_view text);

}  // namespace halfround::job
