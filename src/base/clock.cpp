#include "base/clock.h"

#include <cmath>

#include "base/maths.h"
#include "base/number.h"

namespace halfround::base {

std::string format_clock(double rad, int decimals) {
  constexpr double kWhole = 360;
  double deg = std::fmod(to_deg(rad), kWhole);
  if (deg < 0) deg += kWhole;
  // rounded first, so that neither 359.9 nor -0.1 becomes a whole turn
  const double parts = std::pow(10, decimals), rounded = std::round(deg * parts);
  return format_number(rounded >= kWhole * parts ? 0 : rounded / parts, decimals) + "°";
}

}  // namespace halfround::base
