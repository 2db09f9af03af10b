#include "base/maths.h"

#include <cmath>

namespace halfround::base {

Vec2 unit_at(double u) {
  const double quarters = u / (kPi / 2);
  const double nearest = std::nearbyint(quarters);
  if (std::abs(quarters - nearest) < 1e-15 * std::max(1.0, std::abs(quarters))) {
    switch (static_cast<long long>(nearest) & 3) {
      case 0: return {1, 0};
      case 1: return {0, 1};
      case 2: return {-1, 0};
      default: return {0, -1};
    }
  }
  return {std::cos(u), std::sin(u)};
}

}  // namespace halfround::base
