#include "base/say.h"

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/plain.h"

namespace halfround::base {

namespace {
constexpr int kMostShown = 6;  // a nanometre
constexpr double kSame = 1e-9;
}  // namespace

Apart apart(double first, double second, int decimals) {
  if (!std::isfinite(first) || !std::isfinite(second)) return {plain(first), plain(second)};
  for (int n = decimals;; ++n) {
    Apart out{fixed(first, n), fixed(second, n)};
    if (out.first != out.second) return out;
    if (n >= kMostShown) return {fixed(first, decimals), fixed(second, decimals)};
  }
}

std::string amount(double v, int decimals) {
  if (!std::isfinite(v)) return plain(v);
  for (int n = decimals;; ++n) {
    std::string out = fixed(v, n);
    if (out.find_first_of("123456789") != std::string::npos) return out;
    if (n >= kMostShown) return fixed(v, decimals);
  }
}

double below(double limit, int decimals) {
  const double step = std::pow(10.0, decimals), steps = limit * step;
  return (std::ceil(steps - kSame * std::abs(steps)) - 1) / step;
}

double above(double limit, int decimals) {
  return -below(-limit, decimals);
}

}  // namespace halfround::base

fmt::format_context::iterator fmt::formatter<halfround::base::Shown>::format(halfround::base::Shown n,
                                                                             fmt::format_context& out) const {
  const std::string text = decimals < 0 || !std::isfinite(n.v) ? halfround::base::plain(n.v)
                                                               : halfround::base::fixed(n.v, decimals);
  return std::copy(text.begin(), text.end(), out.out());
}
