// Inside of the layout room: where a function of one unknown passes zero between two places. Whatever numbers
// come in, it is found or it isn't; nothing is thrown. Frame: none.
#pragma once

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>

namespace halfround::layout {

/// Does the sign change from one to the other? Zero counts; what is no number doesn't.
[[nodiscard]] inline bool passes_zero(double fa, double fb) {
  return (fa <= 0 && fb >= 0) || (fa >= 0 && fb <= 0);
}

/// By Boost's TOMS 748.
///   in      a, b    in either order;  fa, fb  the function there;  bits  of the answer;  most  steps
///   out     nothing where the signs don't differ (passes_zero) or something is no number
template <class Function>
[[nodiscard]] std::optional<double> root_between(const Function& f, double a, double b, double fa, double fb,
                                                 int bits, std::uintmax_t most) {
  if (!std::isfinite(a) || !std::isfinite(b) || !passes_zero(fa, fb)) return std::nullopt;
  if (fa == 0 || a == b) return a;
  if (fb == 0) return b;
  if (a > b) std::swap(a, b), std::swap(fa, fb);
  const auto at = boost::math::tools::toms748_solve(f, a, b, fa, fb,
                                                    boost::math::tools::eps_tolerance<double>(bits), most);
  const double root = 0.5 * (at.first + at.second);
  return std::isfinite(root) ? std::optional(root) : std::nullopt;
}

}  // namespace halfround::layout
