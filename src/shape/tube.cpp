#include "shape/tube.h"

#include <algorithm>
#include <cmath>

namespace halfround::shape {

SurfacePoint surface(const Tube& tube, const Vec2& e, double s) {
  const Frame f = tube.centreline.at(s);
  const Radius q = tube.profile.at(e, s);
  const Vec3 out = e.x() * f.m + e.y() * f.b;
  const Vec3 side = e.x() * f.b - e.y() * f.m;
  return {f.c + q.r * out, q.ru * out + q.r * side, (1 - q.r * f.k.dot(out)) * f.t + q.rs * out};
}

Level level(const Tube& tube, const Vec3& p) {
  const double s = tube.centreline.nearest(p);
  const Frame f = tube.centreline.at(s);
  const Vec3 d = p - f.c;
  const double x = d.dot(f.m), y = d.dot(f.b);
  const double rho = std::sqrt(x * x + y * y);
  const Vec2 e = rho > 0 ? Vec2(x / rho, y / rho) : Vec2(1, 0);
  const Radius q = tube.profile.at(e, s);
  const Vec3 out = e.x() * f.m + e.y() * f.b;
  Vec3 gradient = out;
  if (q.ru != 0 && rho > 0) gradient -= q.ru / rho * (e.x() * f.b - e.y() * f.m);
  if (q.rs != 0) gradient -= q.rs / std::max(0.1, 1 - f.k.dot(d)) * f.t;
  return {rho - q.r, gradient, s};
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

double gauss_length(const Tube& tube, const Vec2& e, double s0, double s1) {
  static constexpr double x[] = {-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526};
  static constexpr double w[] = {0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538};
  double sum = 0;
  for (int i = 0; i < 4; ++i) {
    sum += w[i] * surface(tube, e, 0.5 * (s0 + s1) + 0.5 * (s1 - s0) * x[i]).ps.norm();
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
  // break where a piece or a station begins: the integrand has a kink there
  double sum = 0, from = lo;
  const auto upto = [&](double s) {
    if (s > from && s < hi) sum += gauss_length(tube, e, from, s), from = s;
  };
  std::size_t i = 0, j = 0;
  const auto& pieces = tube.centreline.pieces();
  const auto& stations = tube.profile.stations();
  while (i < pieces.size() || j < stations.size()) {
    const double a = i < pieces.size() ? pieces[i].s0 : INFINITY, b = j < stations.size() ? stations[j].s : INFINITY;
    upto(std::min(a, b));
    if (a <= b) ++i;
    if (b <= a) ++j;
  }
  upto(std::min(tube.length(), hi));
  return sign * (sum + gauss_length(tube, e, from, hi));
}

}  // namespace halfround::shape
