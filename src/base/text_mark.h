// A short mark by which a text is known again on paper.
#pragma once

#include <string>
#include <string_view>

namespace halfround::base {

/// Eight hex digits; a text that is changed has another one, but for one chance in four thousand million. It
/// tells revisions apart, it proves nothing. [source: FNV-1a of 32 bits, offset 2166136261, prime 16777619]
[[nodiscard]] std::string text_mark(std::string_view text);

}  // namespace halfround::base
