// A tube: a centreline and the sections along it. Surface P(u, s) = C(s) + r(u, s)·(cos u · m(s) + sin u · b(s)).
// Frame: that of the centreline. Round, oval, measured, tapered, butted and bent tubes are all this one thing.
#pragma once

#include "shape/centreline.h"
#include "shape/profile.h"

namespace halfround::shape {

struct Tube {
  Centreline centreline;
  Profile profile;  ///< outer surface; the wall is in it

  [[nodiscard]] Tube moved(const Pose& X) const { return {centreline.moved(X), profile}; }
  [[nodiscard]] Tube mirrored() const { return {centreline.mirrored(), profile.mirrored()}; }
  [[nodiscard]] Tube reversed() const { return {centreline.reversed(), profile.reversed(centreline.length())}; }
  [[nodiscard]] Tube inner() const { return {centreline, profile.inner()}; }
  [[nodiscard]] Tube grown(double amount) const { return {centreline, profile.grown(amount)}; }
  [[nodiscard]] double length() const { return centreline.length(); }
};

/// A point of the surface with its derivatives along u (per rad) and s (per mm of centreline).
struct SurfacePoint {
  Vec3 p, pu, ps;
  [[nodiscard]] Vec3 normal() const { return pu.cross(ps).normalized(); }  ///< outward (u from m toward b, s along t)
};

/// in   e  unit vector (cos u, sin u) of the clock angle; s mm
[[nodiscard]] SurfacePoint surface(const Tube& tube, const Vec2& e, double s);

/// Level of a point against the surface: rho - r(v, s), 0 on it, > 0 outside, and its gradient. Not a distance where
/// the section is not round, but it has the same sign, and a slope near 1.
struct Level {
  double value;
  Vec3 gradient;
  double s;  ///< arc length of the section the point lies in
};
[[nodiscard]] Level level(const Tube& tube, const Vec3& p);

/// Greatest of |d level / d distance| anywhere near the surface: how fast a level can fall.
[[nodiscard]] double level_slope_bound(const Tube& tube);

/// Length along the surface of the generator at e from s0 to s1, mm; within 1e-6.
[[nodiscard]] double generator_length(const Tube& tube, const Vec2& e, double s0, double s1);

}  // namespace halfround::shape
