#include "shape/tube.h"

#include <algorithm>
#include <cmath>

namespace halfround::shape {

SurfacePoint surface(const Tube& tube, const Vec2& e, double s) {
  return surface(tube.centreline.at(s), tube.profile.at(e, s), e);
}

Level level(const Tube& tube, const Vec3& p) {
  return level(TubeReader(tube), p);
}

double level_slope_bound(const Tube& tube) {
  double lo = INFINITY, hi = 0, steep = 0;
  const auto& stations = tube.profile.stations();
  for (std::size_t i = 0; i < stations.size(); ++i) {
    const Station& st = stations[i];
    lo = std::min({lo, st.width, st.depth});
    hi = std::max({hi, st.width, st.depth});
    if (i > 0) {
      const double h = st.s - stations[i - 1].s;
      steep = std::max({steep, std::abs(st.width - stations[i - 1].width) / h / 2,
                        std::abs(st.depth - stations[i - 1].depth) / h / 2});
    }
  }
  const double oval = lo > 0 ? 0.5 * (hi / lo - lo / hi) : 1;  // greatest ru/r of an ellipse
  const double measured = tube.profile.convex() ? 0 : 1;
  return std::sqrt(1 + oval * oval + 4 * steep * steep + measured);
}

namespace {

/// Gauss's rule over a stretch without a kink. On one piece the bend lies at the same clock angle all along,
/// so the generator's speed needs no frame. `lean`: curvature times the cosine of the angle between generator
/// and bend.
double gauss_length(const Profile& profile, const Vec2& e, double lean, double s0, double s1) {
  static constexpr double x[] = {-0.8611363115940526, -0.3399810435848563, 0.3399810435848563,
                                 0.8611363115940526};
  static constexpr double w[] = {0.3478548451374538, 0.6521451548625461, 0.6521451548625461,
                                 0.3478548451374538};
  if (profile.constant()) return (1 - lean * profile.at(e, s0).r) * (s1 - s0);
  double sum = 0;
  for (int i = 0; i < 4; ++i) {
    const Radius q = profile.at(e, 0.5 * (s0 + s1) + 0.5 * (s1 - s0) * x[i]);
    const double along = 1 - lean * q.r;
    sum += w[i] * std::sqrt(along * along + q.rs * q.rs);
  }
  return sum * 0.5 * (s1 - s0);
}

}  // namespace

double generator_length(const Tube& tube, const Vec2& e, double s0, double s1) {
  const double lo = std::min(s0, s1), hi = std::max(s0, s1), sign = s1 < s0 ? -1 : 1;
  if (tube.centreline.straight() && tube.profile.ruled(lo, hi)) {
    const double dr = tube.profile.constant() ? 0 : tube.profile.at(e, hi).r - tube.profile.at(e, lo).r;
    return sign * std::sqrt((hi - lo) * (hi - lo) + dr * dr);
  }
  const auto& pieces = tube.centreline.pieces();
  const auto& stations = tube.profile.stations();
  double sum = 0;
  // one piece of the centreline: break where a station begins, the integrand has a kink there
  const auto stretch = [&](double from, double to, const Piece* q) {
    if (to <= from) return;
    const double lean = q ? q->curvature * (e.x() * q->m.dot(q->n) + e.y() * q->t.cross(q->m).dot(q->n)) : 0;
    for (const Station& st : stations) {
      if (st.s <= from || st.s >= to) continue;
      sum += gauss_length(tube.profile, e, lean, from, st.s);
      from = st.s;
    }
    sum += gauss_length(tube.profile, e, lean, from, to);
  };
  stretch(lo, std::min(hi, 0.0), nullptr);
  for (const Piece& q : pieces) stretch(std::max(lo, q.s0), std::min(hi, q.s0 + q.length), &q);
  stretch(std::max(lo, tube.length()), hi, nullptr);
  return sign * sum;
}

}  // namespace halfround::shape
