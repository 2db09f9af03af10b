// What a tube does beyond first yield. Elastic and perfectly plastic, as the handbooks' plastic section
// factors take it.
#include <algorithm>
#include <cmath>

#include "base/maths.h"
#include "study/strength_stress.h"

namespace halfround::study {

namespace {

/// Moment of a solid round bar over its yield stress, with an elastic core of half depth e.
///   source  [derived] 4 / 3 (R^2 - e^2)^(3/2) of the yielded caps, and the core's second moment over e
double solid_moment(double R, double e) {
  if (e >= R) return base::kPi * R * R * R * R / (4 * e);
  const double a = std::asin(e / R), c = std::cos(a);
  return R * R * R * (4.0 / 3 * c * c * c + (a - std::sin(4 * a) / 4) / (2 * std::sin(a)));
}

}  // namespace

double plastic_share(double ratio, double k) {
  if (ratio <= 1) return 0;
  k = std::clamp(k, 0.0, 0.999);  // a thin tube is the difference of two nearly equal bars
  const auto moment = [&](double e) { return solid_moment(1, e) - solid_moment(k, e); };
  const double first = moment(1);
  double low = 1e-9, high = 1;
  if (ratio * first >= moment(low)) return INFINITY;
  for (int i = 0; i < 60; ++i) {
    const double e = (low + high) / 2;
    (moment(e) > ratio * first ? low : high) = e;
  }
  return 1 / high / ratio - 1;  // curvature is yield strain over e
}

double plastic_share(double ratio) {
  return plastic_share(ratio, 1);
}

double shape_factor(double outside, double bore) {
  const double k = std::clamp(bore / outside, 0.0, 0.999);
  return 16 / (3 * base::kPi) * (1 - k * k * k) / (1 - k * k * k * k);
}

}  // namespace halfround::study
