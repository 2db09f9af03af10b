// The same gaps by brute force, in long double, with none of our code but the measured outline's radii: a
// dense grid over the tube's surface and both closed ends, then shrinking steps from the best places. Frame:
// any.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <vector>

#include "shape/tube.h"

namespace halfround::dense {

using Real = long double;
struct P3 {
  Real x, y, z;
};
inline P3 operator+(P3 a, P3 b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
inline P3 operator-(P3 a, P3 b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
inline P3 operator*(Real k, P3 a) {
  return {k * a.x, k * a.y, k * a.z};
}
inline Real dot(P3 a, P3 b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
inline P3 cross(P3 a, P3 b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline P3 of(const base::Vec3& v) {
  return {v.x(), v.y(), v.z()};
}

/// One straight piece, one arc; an ellipse whose half axes go straight from (a0, b0) to (a1, b1) over
/// `length`.
struct PlainTube {
  P3 p, t, m, n;  ///< start, tangent, mark line, toward the bend's centre
  Real straight, radius, bent;
  Real a0, b0, a1, b1;
  [[nodiscard]] Real length() const { return straight + bent; }
  /// rho 0..1 from the centreline to the skin
  [[nodiscard]] P3 at(Real u, Real s, Real rho) const {
    const Real x = s / length(), a = a0 + x * (a1 - a0), b = b0 + x * (b1 - b0);
    P3 c = p + std::min(s, straight) * t, tt = t, mm = m;
    if (s > straight) {
      const Real f = (s - straight) / radius, co = std::cos(f), si = std::sin(f);
      c = c + radius * (si * t + (1 - co) * n);
      tt = co * t + si * n;
      mm = m + dot(m, n) * ((co - 1) * n - si * t);
    }
    const Real co = std::cos(u), si = std::sin(u), r = 1 / std::sqrt(co * co / (a * a) + si * si / (b * b));
    return c + rho * r * (co * mm + si * cross(tt, mm));
  }
};

/// Signed distance of (x, y) to the ellipse x²/a² + y²/b² = 1, by halving for the foot's parameter in one
/// quadrant.
inline Real to_ellipse(Real a, Real b, Real x, Real y, int halvings) {
  x = std::abs(x), y = std::abs(y);
  Real lo = 0, hi = std::numbers::pi_v<Real> / 2;
  for (int i = 0; i < halvings; ++i) {
    const Real t = (lo + hi) / 2, c = std::cos(t), s = std::sin(t);
    // slope of the squared distance along the ellipse
    ((b * s - y) * b * c - (a * c - x) * a * s > 0 ? hi : lo) = t;
  }
  const Real t = (lo + hi) / 2, d = std::hypot(a * std::cos(t) - x, b * std::sin(t) - y);
  return x * x / (a * a) + y * y / (b * b) < 1 ? -d : d;
}

/// Distance of a place by a rough (quick) and an exact way.
struct Field {
  std::function<double(const P3&)> rough;
  std::function<Real(const P3&)> exact;
  double rough_error = 0;
};

struct Found {
  Real value;
  bool at_end;
};

inline Found least(const PlainTube& tube, const Field& field, int along, int around) {
  struct Spot {
    double value;
    Real u, s, rho;
    int patch;  // 0: the skin, 1: an end
  };
  std::vector<Spot> spots;
  const Real turn = 2 * std::numbers::pi_v<Real>, len = tube.length();
  for (int i = 0; i <= along; ++i) {
    for (int k = 0; k < around; ++k) {
      const Real s = len * i / along, u = turn * k / around;
      spots.push_back({field.rough(tube.at(u, s, 1)), u, s, 1, 0});
    }
  }
  for (int e = 0; e < 2; ++e) {
    for (int i = 0; i < 12; ++i) {
      for (int k = 0; k < 24; ++k) {
        const Real u = turn * k / 24, rho = i / Real(12);
        spots.push_back({field.rough(tube.at(u, e * len, rho)), u, e * len, rho, 1});
      }
    }
  }
  std::sort(spots.begin(), spots.end(), [](const Spot& p, const Spot& q) { return p.value < q.value; });
  Found best{INFINITY, false};
  std::vector<Spot> tried;
  for (const Spot& start : spots) {
    const bool near = std::any_of(tried.begin(), tried.end(), [&](const Spot& q) {
      return q.patch == start.patch && std::abs(q.s - start.s) < 12 &&
             std::abs(std::remainder(q.u - start.u, turn)) < 0.5L;
    });
    if (near) continue;
    if (tried.size() >= 5) break;
    tried.push_back(start);
    Spot at = start;
    const auto value = [&](const Spot& q) { return field.exact(tube.at(q.u, q.s, q.rho)); };
    Real least_here = value(at), step = 1;
    while (step > 1e-9L) {
      Spot next = at;
      Real v = least_here;
      for (int i = -1; i <= 1; ++i) {
        for (int k = -1; k <= 1; ++k) {
          if (i == 0 && k == 0) continue;
          Spot q = at;
          q.u += Real(0.1) * step * i;
          if (q.patch == 0)
            q.s = std::clamp(q.s + 2 * step * k, Real(0), len);
          else
            q.rho = std::clamp(q.rho + Real(0.1) * step * k, Real(0), Real(1));
          const Real w = value(q);
          if (w < v) v = w, next = q;
        }
      }
      if (v < least_here)
        least_here = v, at = next;
      else
        step /= 2;
    }
    if (least_here < best.value) best = {least_here, at.patch == 1};
  }
  return best;
}

}  // namespace halfround::dense
