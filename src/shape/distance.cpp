#include "shape/distance.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace halfround::shape {

namespace {

struct Spot {
  double value, u, s;
};

/// Distance at (u, s) of the tube with its slopes along u and s.
struct Slope {
  double value, du, ds;
};
Slope slope_at(const Tube& tube, const Body& body, double u, double s) {
  const SurfacePoint q = surface(tube, base::unit_at(u), s);
  const Distance d = body.distance(q.p);
  return {d.value, d.normal.dot(q.pu), d.normal.dot(q.ps)};
}

/// Where Newton does not settle (the nearest place changes from an edge of the body to a face): shrinking
/// steps.
Spot searched(const Tube& tube, const Body& body, Spot at, double s0, double s1) {
  const double scale = 1 / std::max(1.0, tube.profile.max_radius());
  double step = 0.5;
  for (int k = 0; k < 1000 && step > 1e-8; ++k) {
    Spot next = at;
    for (int i = 0; i < 8; ++i) {
      static constexpr int turn[] = {1, 1, 0, -1, -1, -1, 0, 1};
      const double u = at.u + step * scale * turn[i], s = std::clamp(at.s + step * turn[(i + 6) % 8], s0, s1);
      const double value = body.distance(surface(tube, base::unit_at(u), s).p).value;
      if (value < next.value) next = {value, u, s};
    }
    if (next.value < at.value)
      at = next;
    else
      step *= 0.5;
  }
  return at;
}

/// At a station the section may have a corner, and the nearest place may lie on that ring: neither side's
/// slope leads away from it. Newton round the ring, then a look at both sides.
std::optional<Spot> on_a_ring(const Tube& tube, const Body& body, const Spot& at, double s0, double s1) {
  constexpr double kNear = 10, kBeside = 1e-9;  // mm
  std::optional<Spot> best;
  for (const Station& q : tube.profile.stations()) {
    if (q.s <= s0 || q.s >= s1 || std::abs(q.s - at.s) > kNear) continue;
    double u = at.u;
    Slope f = slope_at(tube, body, u, q.s);
    for (int i = 0; i < 30; ++i) {
      const double hu = 1e-5, bow = (slope_at(tube, body, u + hu, q.s).du - f.du) / hu;
      const double step = bow > 0 ? std::clamp(-f.du / bow, -0.3, 0.3) : (f.du > 0 ? -0.1 : 0.1);
      u += step, f = slope_at(tube, body, u, q.s);
      if (std::abs(step) < 1e-9) break;
    }
    const bool lowest = slope_at(tube, body, u, q.s - kBeside).ds <= 0 && f.ds >= 0 && std::abs(f.du) < 1e-6;
    if (lowest && (!best || f.value < best->value)) best = Spot{f.value, u, q.s};
  }
  return best;
}

/// Newton with a difference Hessian, kept between s0 and s1.
Spot refined(const Tube& tube, const Body& body, Spot at, double s0, double s1) {
  double reach_u = 0.3, reach_s = 8;
  bool settled = false;
  Slope f = slope_at(tube, body, at.u, at.s);
  double a = 0, b = 0, c = 0, det = 0;
  bool fresh = false;
  for (int i = 0; i < 60; ++i) {
    if (!fresh) {
      const double hu = 1e-5, hs = 1e-4;
      const Slope fu = slope_at(tube, body, at.u + hu, at.s), fs = slope_at(tube, body, at.u, at.s + hs);
      a = (fu.du - f.du) / hu, c = (fs.ds - f.ds) / hs;
      b = 0.5 * ((fu.ds - f.ds) / hu + (fs.du - f.du) / hs);
      det = a * c - b * b;
    }
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
      reach_u *= 0.25, reach_s *= 0.25, fresh = false;
      if (reach_u < 1e-9) break;
      continue;
    }
    const double moved = std::abs(next.u - at.u) * 10 + std::abs(next.s - at.s);
    at = next, f = g;
    reach_u = std::min(0.3, 2 * reach_u), reach_s = std::min(8.0, 2 * reach_s);
    if (moved < 1e-5) {  // the next step would be some 1e-9
      settled = a > 0 && (held || det > 1e-9 * a);
      break;
    }
    fresh = moved < 0.1;  // so near, the last Hessian is as good as a new one
  }
  at.value = f.value;
  // a difference across a corner looks like a sharp bow, in which Newton takes short steps and seems settled
  constexpr double kBesideCorner = 1e-2;  // mm
  const auto& stations = tube.profile.stations();
  const bool corner = std::any_of(stations.begin(), stations.end(),
                                  [&](const Station& q) { return std::abs(q.s - at.s) < kBesideCorner; });
  if (settled && !corner) return at;
  const auto ring = on_a_ring(tube, body, at, s0, s1);
  if (ring && ring->value <= at.value + 1e-9) return *ring;
  return settled ? at : searched(tube, body, at, s0, s1);
}

/// Sections along the tube, each with the side that faces the body: a guess of the gap there, a few tenths
/// off.
std::vector<Spot> facing_spots(const Tube& tube, double s0, double s1, const Body& body) {
  const int along = std::max(3, static_cast<int>(std::ceil((s1 - s0) / 12)) + 1);
  std::vector<Spot> spots(static_cast<std::size_t>(along));
  const double step = (s1 - s0) / (along - 1);
  double least = INFINITY;
  for (int k = 0; k < along; ++k) {
    const double s = s0 + (s1 - s0) * k / (along - 1);
    const Frame f = tube.centreline.at(s);
    const Distance d = body.distance(f.c);
    const Vec2 toward(-d.normal.dot(f.m), -d.normal.dot(f.b));
    const double n = toward.norm();
    const Vec2 e = n > 1e-9 ? Vec2(toward / n) : Vec2(1, 0);
    const double value = d.value - tube.profile.at(e, s).r * n;
    spots[static_cast<std::size_t>(k)] = {value, std::atan2(e.y(), e.x()), s};
    least = std::min(least, value);
    // a distance falls no faster than one goes: sections that can't come near the least one are passed over
    const int over = static_cast<int>((value - least - 20) / step);
    for (int i = 0; i < over && k + 2 < along; ++i) spots[static_cast<std::size_t>(++k)] = {INFINITY, 0, s};
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

Distance distance(const Tube& ring, const Vec3& p) {
  return Body::ring(ring).distance(p);
}

double rough_gap(const Tube& tube, double s0, double s1, const Tube& ring) {
  return local_minima(facing_spots(tube, s0, s1, Body::ring(ring))).front().value;
}

Gap refined_gap(const Tube& tube, double u, double s, double s0, double s1, const Body& body) {
  const Spot least = refined(tube, body, {INFINITY, u, s}, s0, s1);
  const Vec3 p = surface(tube, base::unit_at(least.u), least.s).p;
  const Distance d = body.distance(p);
  return {d.value, least.u - 2 * base::kPi * std::floor(least.u / (2 * base::kPi)), least.s, p,
          p - d.value * d.normal};
}

Gap least_gap(const Tube& tube, double s0, double s1, const Body& body) {
  std::vector<Spot> minima = local_minima(facing_spots(tube, s0, s1, body));
  if (minima.size() > 3) minima.resize(3);
  Gap least{INFINITY, 0, s0};
  for (const Spot& m : minima) {
    if (m.value > least.value + 10) continue;  // the guess is never that far off
    const Gap r = refined_gap(tube, m.u, m.s, s0, s1, body);
    if (r.value < least.value) least = r;
  }
  return least;
}

Gap least_gap(const Tube& tube, double s0, double s1, const Tube& ring) {
  return least_gap(tube, s0, s1, Body::ring(ring));
}

}  // namespace halfround::shape
