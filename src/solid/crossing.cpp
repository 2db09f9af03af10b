#include "solid/crossing.h"

#include <algorithm>
#include <cmath>

#include "solid/solid.h"

namespace halfround::solid {

namespace {

constexpr double kTouching = 0.1;     // sine between the normals below which a crossing is looked for
constexpr double kFar = 1.5;          // mm; a crossing lies no farther from the point it was looked for from
constexpr double kSame = 1e-3;        // mm
constexpr double kOff = kFitTol / 2;  // of a crossing from the target, mm

/// The target's level on the tube, its slopes by arc round (x) and along (y), and how those change.
struct Saddle {
  double value = 0;
  Vec2 slope = Vec2::Zero();
  Eigen::Matrix2d bend = Eigen::Matrix2d::Zero();
  shape::SurfacePoint at;
};

double round_of(const shape::Tube& tube, double s) {
  return tube.profile.half_axes(s).a;
}

Saddle slopes_at(const shape::Tube& tube, const shape::Tube& target, double u, double s, double round) {
  Saddle out;
  out.at = shape::surface(tube, base::unit_at(u), s);
  const shape::Level l = shape::level(target, out.at.p);
  out.value = l.value;
  out.slope = {l.gradient.dot(out.at.pu) / round, l.gradient.dot(out.at.ps)};
  return out;
}

Saddle saddle_at(const shape::Tube& tube, const shape::Tube& target, double u, double s, double round) {
  constexpr double kStep = 1e-3;  // mm either way
  Saddle out = slopes_at(tube, target, u, s, round);
  const auto slope = [&](double x, double y) {
    return slopes_at(tube, target, u + x / round, s + y, round).slope;
  };
  out.bend.col(0) = (slope(kStep, 0) - slope(-kStep, 0)) / (2 * kStep);
  out.bend.col(1) = (slope(0, kStep) - slope(0, -kStep)) / (2 * kStep);
  const double mixed = (out.bend(0, 1) + out.bend(1, 0)) / 2;
  out.bend(0, 1) = out.bend(1, 0) = mixed;
  return out;
}

/// The directions in which a saddle stays level: of a x^2 + 2 b x y + c y^2 = 0.
std::array<Vec2, 2> level_ways(const Eigen::Matrix2d& bend) {
  const double a = bend(0, 0), b = bend(0, 1), c = bend(1, 1);
  const double root = std::sqrt(b * b - a * c), q = -(b + (b < 0 ? -root : root));
  return {Vec2(q, a), Vec2(c, q)};
}

std::optional<Crossing> crossing_near(const shape::Tube& tube, const shape::Tube& target, double u,
                                      double s) {
  const double u0 = u, s0 = s, round = round_of(tube, s);
  for (int i = 0; i < 30; ++i) {
    const Saddle q = saddle_at(tube, target, u, s, round);
    if (q.bend.determinant() >= 0) return std::nullopt;
    const Vec2 step = -q.bend.inverse() * q.slope;
    u += step.x() / round, s += step.y();
    if (std::hypot((u - u0) * round, s - s0) > kFar) return std::nullopt;
    if (step.norm() < 1e-10) break;
  }
  const Saddle q = saddle_at(tube, target, u, s, round);
  if (std::abs(q.value) > kOff || q.bend.determinant() >= 0) return std::nullopt;
  Crossing out;
  out.u = u, out.s = s, out.point = q.at.p;
  const std::array<Vec2, 2> ways = level_ways(q.bend);
  for (std::size_t k = 0; k < 2; ++k)
    out.along[k] = (ways[k].x() / round * q.at.pu + ways[k].y() * q.at.ps).normalized();
  return out;
}

double sine_at(const shape::Tube& tube, const shape::Tube& target, const study::EdgePoint& q) {
  const Vec3 n = shape::surface(tube, base::unit_at(q.u), q.s).normal();
  return n.cross(shape::level(target, q.point).gradient.normalized()).norm();
}

}  // namespace

Vec3 Crossing::toward(const Vec3& p) const {
  const Vec3 way = p - point;
  const double a = along[0].dot(way), b = along[1].dot(way);
  const Vec3& nearer = std::abs(a) > std::abs(b) ? along[0] : along[1];
  return nearer.dot(way) < 0 ? Vec3(-nearer) : nearer;
}

std::vector<Crossing> crossings(const shape::Tube& tube, const shape::Tube& target,
                                const std::vector<study::EdgePoint>& edge) {
  std::vector<Crossing> out;
  if (!tube.profile.convex()) return out;
  std::vector<double> sine;
  sine.reserve(edge.size());
  for (const study::EdgePoint& q : edge) sine.push_back(q.met ? sine_at(tube, target, q) : 1);
  const std::size_t n = edge.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (sine[i] > kTouching || sine[i] > sine[(i + 1) % n] || sine[i] > sine[(i + n - 1) % n]) continue;
    const auto found = crossing_near(tube, target, edge[i].u, edge[i].s);
    const auto known = [&](const Crossing& c) { return (c.point - found->point).norm() < kSame; };
    if (found && std::none_of(out.begin(), out.end(), known)) out.push_back(*found);
  }
  return out;
}

}  // namespace halfround::solid
