// Sentences with rounded numbers: never "-0.0", and never "4.0 of the 4.0 mm" where the two differ.
// Frame: none.
#pragma once

#include <fmt/format.h>

#include <string>
#include <type_traits>

namespace halfround::base {

/// A number on its way into a sentence; "{}" prints it as plain() does, "{:.1f}" rounded.
struct Shown {
  double v = 0;
};
template <class T>
using Say = std::conditional_t<std::is_floating_point_v<T>, Shown, const T&>;

template <class T>
[[nodiscard]] Say<T> as_shown(const T& v) {
  if constexpr (std::is_floating_point_v<T>)
    return Shown{static_cast<double>(v)};
  else
    return v;
}

/// fmt::format for people: a number that rounds to zero is "0.0", never "-0.0"; what is not finite is named.
///   in  text  of floating numbers only "{}" and "{:.Nf}"
template <class... A>
[[nodiscard]] std::string say(std::type_identity_t<fmt::format_string<Say<std::decay_t<const A&>>...>> text,
                              const A&... a) {
  return fmt::format(text, as_shown<std::decay_t<const A&>>(a)...);
}

/// Two numbers that are not the same, told so that it shows: "3.97" and "4.00", "3.6" and "4.0".
struct Apart {
  std::string first, second;
};
///   in  decimals  at least; more where the two would look alike, six at most; alike to six: the same
[[nodiscard]] Apart apart(double first, double second, int decimals = 1);

/// An amount that is not nothing: as many decimals as show it, `decimals` at least, six at most: "0.04".
[[nodiscard]] std::string amount(double v, int decimals = 1);

/// The greatest number of so many decimals that is less than a limit, and the least that is more: what to
/// offer where the limit itself does not do. At 1e-9 of the limit they are taken as the limit.
[[nodiscard]] double below(double limit, int decimals = 1);
[[nodiscard]] double above(double limit, int decimals = 1);

}  // namespace halfround::base

template <>
struct fmt::formatter<halfround::base::Shown> {
  int decimals = -1;  ///< -1: as plain()
  constexpr auto parse(fmt::format_parse_context& text) {
    auto at = text.begin();
    if (at == text.end() || *at == '}') return at;
    if (*at++ != '.' || at == text.end() || *at < '0' || *at > '9')
      throw fmt::format_error("{:.Nf} expected");
    decimals = *at++ - '0';
    if (at == text.end() || *at++ != 'f') throw fmt::format_error("{:.Nf} expected");
    return at;
  }
  [[nodiscard]] fmt::format_context::iterator format(halfround::base::Shown n,
                                                     fmt::format_context& out) const;
};
