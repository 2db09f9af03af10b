#include "shape/distance.h"

#include <algorithm>
#include <cmath>

namespace halfround::shape {

namespace {

/// Nearest point of a section to q, both in the section's plane (x along m, y along b).
Vec2 nearest_on_section(const Profile& profile, double s, const Vec2& q) {
  const double a = profile.at({1, 0}, s).r, b = profile.at({0, 1}, s).r;
  if (profile.kind(s) == OutlineKind::round) {
    const double d = q.norm();
    return d > 0 ? Vec2(a / d * q) : Vec2(a, 0);
  }
  if (profile.kind(s) == OutlineKind::ellipse) {
    double t = std::atan2(q.y() * a, q.x() * b);
    for (int i = 0; i < 30; ++i) {
      const double c = std::cos(t), sn = std::sin(t);
      const Vec2 p(a * c, b * sn), dp(-a * sn, b * c);
      const double f = (p - q).dot(dp), df = dp.squaredNorm() - (p - q).dot(p);
      const double step = df > 0.1 * dp.squaredNorm() ? f / df : f / dp.squaredNorm();
      t -= step;
      if (std::abs(step) < 1e-13) break;
    }
    return {a * std::cos(t), b * std::sin(t)};
  }
  const auto point = [&](double u) -> Vec2 {
    const Vec2 e(std::cos(u), std::sin(u));
    return profile.at(e, s).r * e;
  };
  double u = std::atan2(q.y(), q.x()), best = INFINITY;
  for (double start = u, k = -8; k <= 8; ++k) {
    const double d = (point(start + k * 0.1) - q).squaredNorm();
    if (d < best) best = d, u = start + k * 0.1;
  }
  for (int i = 0; i < 50; ++i) {
    const double h = 1e-4;
    const Vec2 p = point(u), dp = (point(u + h) - point(u - h)) / (2 * h);
    const Vec2 ddp = (point(u + h) - 2 * p + point(u - h)) / (h * h);
    const double f = (p - q).dot(dp), df = dp.squaredNorm() + (p - q).dot(ddp);
    const double step = df > 0.1 * dp.squaredNorm() ? f / df : f / dp.squaredNorm();
    u -= std::clamp(step, -0.1, 0.1);
    if (std::abs(step) < 1e-12) break;
  }
  return point(u);
}

struct Spot {
  double value, u, s;
};

/// Distance at (u, s) of the tube with its slopes along u and s.
struct Slope {
  double value, du, ds;
};
Slope slope_at(const Tube& tube, const Tube& body, double u, double s) {
  const SurfacePoint q = surface(tube, base::unit_at(u), s);
  const Distance d = distance(body, q.p);
  return {d.value, d.normal.dot(q.pu), d.normal.dot(q.ps)};
}

/// Newton with a difference Hessian, kept between s0 and s1.
Spot refined(const Tube& tube, const Tube& body, Spot at, double s0, double s1) {
  double reach_u = 0.3, reach_s = 8;
  Slope f = slope_at(tube, body, at.u, at.s);
  for (int i = 0; i < 60; ++i) {
    const double hu = 1e-5, hs = 1e-4;
    const Slope fu = slope_at(tube, body, at.u + hu, at.s), fs = slope_at(tube, body, at.u, at.s + hs);
    const double a = (fu.du - f.du) / hu, c = (fs.ds - f.ds) / hs;
    const double b = 0.5 * ((fu.ds - f.ds) / hu + (fs.du - f.du) / hs);
    const double det = a * c - b * b;
    double du, ds;
    if (a > 0 && det > 1e-9 * a) {
      du = -(c * f.du - b * f.ds) / det, ds = -(a * f.ds - b * f.du) / det;
    } else {
      du = -f.du * reach_u / (std::abs(f.du) + 1e-12), ds = -f.ds * reach_s / (std::abs(f.ds) + 1e-12);
    }
    const bool held = (at.s <= s0 && f.ds > 0) || (at.s >= s1 && f.ds < 0);
    if (held) ds = 0, du = a > 0 ? -f.du / a : du;
    du = std::clamp(du, -reach_u, reach_u), ds = std::clamp(ds, -reach_s, reach_s);
    const Spot next{0, at.u + du, std::clamp(at.s + ds, s0, s1)};
    const Slope g = slope_at(tube, body, next.u, next.s);
    if (g.value > f.value + 1e-12) {
      reach_u *= 0.25, reach_s *= 0.25;
      if (reach_u < 1e-9) break;
      continue;
    }
    const double moved = std::abs(next.u - at.u) * 10 + std::abs(next.s - at.s);
    at = next, f = g;
    if (moved < 1e-8) break;
  }
  at.value = f.value;
  return at;
}

}  // namespace

Distance distance(const Tube& body, const Vec3& p) {
  const double s = body.centreline.nearest(p);
  const Frame f = body.centreline.at(s);
  const Vec3 d = p - f.c;
  const Vec2 q(d.dot(f.m), d.dot(f.b));
  const Vec2 on = nearest_on_section(body.profile, s, q);
  const Vec2 away = q - on;
  double gap = away.norm();
  const double rho = q.norm();
  const bool inside = rho < body.profile.at(rho > 0 ? Vec2(q / rho) : Vec2(1, 0), s).r;
  Vec2 n = gap > 1e-12 ? Vec2((inside ? -1 : 1) / gap * away) : (rho > 0 ? Vec2(q / rho) : Vec2(1, 0));
  if (inside) gap = -gap;
  return {gap, n.x() * f.m + n.y() * f.b};
}

namespace {

/// Sections along the tube, each with the side that faces the body: a guess of the gap there, a few tenths
/// off.
std::vector<Spot> facing_spots(const Tube& tube, double s0, double s1, const Tube& body) {
  const int along = std::max(3, static_cast<int>(std::ceil((s1 - s0) / 12)) + 1);
  std::vector<Spot> spots(static_cast<std::size_t>(along));
  for (int k = 0; k < along; ++k) {
    const double s = s0 + (s1 - s0) * k / (along - 1);
    const Frame f = tube.centreline.at(s);
    const Distance d = distance(body, f.c);
    const Vec2 toward(-d.normal.dot(f.m), -d.normal.dot(f.b));
    const double n = toward.norm();
    const Vec2 e = n > 1e-9 ? Vec2(toward / n) : Vec2(1, 0);
    spots[static_cast<std::size_t>(k)] = {d.value - tube.profile.at(e, s).r * n, std::atan2(e.y(), e.x()), s};
  }
  return spots;
}

std::vector<Spot> local_minima(const std::vector<Spot>& spots) {
  std::vector<Spot> minima;
  for (std::size_t k = 0; k < spots.size(); ++k) {
    const bool before = k == 0 || spots[k].value <= spots[k - 1].value;
    const bool after = k + 1 == spots.size() || spots[k].value <= spots[k + 1].value;
    if (before && after) minima.push_back(spots[k]);
  }
  std::sort(minima.begin(), minima.end(), [](const Spot& a, const Spot& b) { return a.value < b.value; });
  return minima;
}

}  // namespace

double rough_gap(const Tube& tube, double s0, double s1, const Tube& body) {
  return local_minima(facing_spots(tube, s0, s1, body)).front().value;
}

Gap least_gap(const Tube& tube, double s0, double s1, const Tube& body) {
  std::vector<Spot> minima = local_minima(facing_spots(tube, s0, s1, body));
  if (minima.size() > 3) minima.resize(3);
  Spot least{INFINITY, 0, s0};
  for (const Spot& m : minima) {
    if (m.value > least.value + 10) continue;  // the guess is never that far off
    const Spot r = refined(tube, body, m, s0, s1);
    if (r.value < least.value) least = r;
  }
  const Vec3 p = surface(tube, base::unit_at(least.u), least.s).p;
  const Distance d = distance(body, p);
  const double u = least.u - 2 * base::kPi * std::floor(least.u / (2 * base::kPi));
  return {d.value, u, least.s, p, p - d.value * d.normal};
}

}  // namespace halfround::shape
