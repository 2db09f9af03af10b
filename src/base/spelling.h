// How far one word is from another, to name the one that was meant. Frame: none.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace halfround::base {

/// Letters to put in, take out or exchange (Levenshtein) to make one of the other.
[[nodiscard]] std::size_t spelling_distance(std::string_view a, std::string_view b);

/// The word that was most likely meant; "" where none is near: more than a third of its letters (at least
/// two) would have to change.
[[nodiscard]] std::string nearest_word(std::span<const std::string> known, std::string_view word);

}  // namespace halfround::base
