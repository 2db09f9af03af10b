#include "study/beam_section.h"

#include <algorithm>
#include <cmath>

#include "study/mass.h"

namespace halfround::study {

namespace {

constexpr double kPoisson = 0.3;  // in the shear factor only, which hardly depends on it

/// Cowper's factor of a ring, x = inner / outer radius.
double ring_factor(double x) {
  const double p = (1 + x * x) * (1 + x * x);
  return 6 * (1 + kPoisson) * p / ((7 + 6 * kPoisson) * p + (20 + 12 * kPoisson) * x * x);
}

double perimeter(double a, double b) {
  const double h = (a - b) * (a - b) / ((a + b) * (a + b));
  return base::kPi * (a + b) * (1 + 3 * h / (10 + std::sqrt(4 - 3 * h)));
}

/// A tube whose outer and inner boundaries are ellipses.
BeamSection oval(double a, double b, double wall) {
  BeamSection q;
  const double ai = std::max(0.0, a - wall), bi = std::max(0.0, b - wall);
  q.half_m = a, q.half_b = b, q.wall = wall, q.round = a == b;
  q.area = base::kPi * (a * b - ai * bi);
  q.I_m = base::kPi / 4 * (a * b * b * b - ai * bi * bi * bi);
  q.I_b = base::kPi / 4 * (b * a * a * a - bi * ai * ai * ai);
  const double am = a - wall / 2, bm = b - wall / 2;
  q.enclosed = base::kPi * am * bm;
  q.J = q.round ? q.I_m + q.I_b : 4 * q.enclosed * q.enclosed * wall / perimeter(am, bm);
  const double ring = ring_factor((ai + bi) / (a + b)) * q.area;
  q.shear_m = ring * 4 * a * a / (3 * a * a + b * b);
  q.shear_b = ring * 4 * b * b / (3 * b * b + a * a);
  return q;
}

/// A measured outline: its moments by quadrature, its shear as an oval's of the same width and depth.
std::optional<BeamSection> measured(const shape::Profile& profile, double s) {
  const auto found = section_at(profile, s);
  if (!found) return std::nullopt;
  BeamSection q = oval(profile.width(s) / 2, profile.depth(s) / 2, profile.wall(s));
  q.shear_m *= found->area / q.area, q.shear_b *= found->area / q.area;
  q.area = found->area, q.centre = found->centre, q.J = found->J, q.round = false;
  q.I_m = found->I_m, q.I_b = found->I_b, q.I_mb = found->I_mb;
  return q;
}

}  // namespace

std::optional<BeamSection> beam_section(const shape::Profile& profile, double s) {
  if (!profile.convex()) return measured(profile, s);
  const double wall = profile.wall(s);
  if (!(wall > 0)) return std::nullopt;
  const shape::HalfAxes h = profile.half_axes(s);
  return oval(h.a, h.b, wall);
}

BeamSection round_bar(double diameter, double bore) {
  return oval(diameter / 2, diameter / 2, (diameter - bore) / 2);
}

BeamSection flat_bar(double width, double thickness) {
  BeamSection q;
  q.area = width * thickness, q.half_m = width / 2, q.half_b = thickness / 2, q.wall = thickness;
  q.I_m = width * std::pow(thickness, 3) / 12, q.I_b = thickness * std::pow(width, 3) / 12;
  const double wide = std::max(width, thickness), thin = std::min(width, thickness);
  q.J = wide * thin * thin * thin * (1 - 0.63 * thin / wide) / 3;
  q.shear_m = q.shear_b = q.area * 5 / 6;
  return q;
}

}  // namespace halfround::study
