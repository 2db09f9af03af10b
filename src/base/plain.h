// Sentences with numbers as people type them: up to six digits, never an exponent, so that what is said can
// be typed back (docs/quantities.md). Frame: none.
#pragma once

#include <fmt/format.h>

#include <string>
#include <type_traits>

namespace halfround::base {

/// "28.6", "39500000", "0.00002"; ASCII minus. Six significant digits, all of a whole number's.
/// What is not finite is named: "no number", "infinite".
///   in  v  any value
[[nodiscard]] std::string plain(double v);

template <class T>
using Plain = std::conditional_t<std::is_floating_point_v<T>, std::string, T>;

template <class T>
[[nodiscard]] Plain<T> as_plain(const T& v) {
  if constexpr (std::is_floating_point_v<T>)
    return plain(v);
  else
    return v;
}

/// fmt::format with every floating number by plain(): "{}" where it stands.
template <class... A>
[[nodiscard]] std::string plainly(
    std::type_identity_t<fmt::format_string<Plain<std::decay_t<const A&>>...>> text, const A&... a) {
  return fmt::format(text, as_plain<std::decay_t<const A&>>(a)...);
}

}  // namespace halfround::base
