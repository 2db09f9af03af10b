// A tube: a centreline and the sections along it. Surface P(u, s) = C(s) + r(u, s)·(cos u · m(s) + sin u ·
// b(s)). Frame: that of the centreline. Round, oval, measured, tapered, butted and bent tubes are all this
// one thing.
#pragma once

#include <algorithm>
#include <cmath>

#include "shape/centreline.h"
#include "shape/profile.h"

namespace halfround::shape {

struct Tube {
  Centreline centreline;
  Profile profile;  ///< outer surface; the wall is in it

  [[nodiscard]] Tube moved(const Pose& X) const { return {centreline.moved(X), profile}; }
  [[nodiscard]] Tube mirrored() const { return {centreline.mirrored(), profile.mirrored()}; }
  [[nodiscard]] Tube reversed() const {
    return {centreline.reversed(), profile.reversed(centreline.length())};
  }
  [[nodiscard]] Tube inner() const { return {centreline, profile.inner()}; }
  [[nodiscard]] Tube grown(double amount) const { return {centreline, profile.grown(amount)}; }
  [[nodiscard]] double length() const { return centreline.length(); }
};

/// A point of the surface with its derivatives along u (per rad) and s (per mm of centreline).
struct SurfacePoint {
  Vec3 p, pu, ps;
  [[nodiscard]] Vec3 normal() const {
    return pu.cross(ps).normalized();
  }  ///< outward (u from m toward b, s along t)
};

/// A tube read many times over: what does not change along a straight one is worked out once. The tube must
/// outlive it.
class TubeReader {
 public:
  explicit TubeReader(const Tube& tube)
      : tube_(tube), straight_(tube.centreline.straight()), first_(tube.centreline.at(0)) {
    if (tube.profile.constant() && tube.profile.kind(0) == OutlineKind::round) {
      round_ = tube.profile.at({1, 0}, 0).r;
    }
  }
  /// The radius where the section is the same circle all along, else 0.
  [[nodiscard]] double round() const { return round_; }

  [[nodiscard]] Frame frame(double s) const {
    if (!straight_) return tube_.centreline.at(s);
    Frame f = first_;
    f.c += s * f.t;
    return f;
  }
  [[nodiscard]] double nearest(const Vec3& p) const {
    return straight_ ? (p - first_.c).dot(first_.t) : tube_.centreline.nearest(p);
  }
  [[nodiscard]] const Tube& tube() const { return tube_; }

 private:
  const Tube& tube_;
  bool straight_;
  Frame first_;
  double round_ = 0;
};

/// The surface where the frame and the radius are known already.
[[nodiscard]] inline SurfacePoint surface(const Frame& f, const Radius& q, const Vec2& e) {
  const Vec3 out = e.x() * f.m + e.y() * f.b;
  const Vec3 side = e.x() * f.b - e.y() * f.m;
  return {f.c + q.r * out, q.ru * out + q.r * side, (1 - q.r * f.k.dot(out)) * f.t + q.rs * out};
}

/// in   e  unit vector (cos u, sin u) of the clock angle; s mm
[[nodiscard]] inline SurfacePoint surface(const TubeReader& reader, const Vec2& e, double s) {
  return surface(reader.frame(s), reader.tube().profile.at(e, s), e);
}
[[nodiscard]] SurfacePoint surface(const Tube& tube, const Vec2& e, double s);

/// Level of a point against the surface: rho - r(v, s), 0 on it, > 0 outside, and its gradient. Not a
/// distance where the section is not round, but it has the same sign, and a slope near 1.
struct Level {
  double value;
  Vec3 gradient;
  double s;  ///< arc length of the section the point lies in
};
[[nodiscard]] inline Level level(const TubeReader& reader, const Vec3& p) {
  const double s = reader.nearest(p);
  const Frame f = reader.frame(s);
  const Vec3 d = p - f.c;
  const double x = d.dot(f.m), y = d.dot(f.b);
  const double rho = std::sqrt(x * x + y * y);
  const Vec2 e = rho > 0 ? Vec2(x / rho, y / rho) : Vec2(1, 0);
  Vec3 gradient = e.x() * f.m + e.y() * f.b;
  if (reader.round() > 0) return {rho - reader.round(), gradient, s};
  const Radius q = reader.tube().profile.at(e, s);
  if (q.ru != 0 && rho > 0) gradient -= q.ru / rho * (e.x() * f.b - e.y() * f.m);
  if (q.rs != 0) gradient -= q.rs / std::max(0.1, 1 - f.k.dot(d)) * f.t;
  return {rho - q.r, gradient, s};
}
[[nodiscard]] Level level(const Tube& tube, const Vec3& p);

/// Greatest of |d level / d distance| anywhere near the surface: how fast a level can fall.
[[nodiscard]] double level_slope_bound(const Tube& tube);

/// Length along the surface of the generator at e from s0 to s1, mm; within 1e-6.
[[nodiscard]] double generator_length(const Tube& tube, const Vec2& e, double s0, double s1);

}  // namespace halfround::shape
