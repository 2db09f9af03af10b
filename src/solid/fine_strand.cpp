#include "solid/fine_strand.h"

#include <Geom2d_Curve.hxx>
#include <cmath>
#include <optional>

namespace halfround::solid {

namespace {

constexpr double kFinest = 2e-3;  // mm
constexpr double kOff = kFitTol / 5;
constexpr int kDeepest = 10;  // halvings between two points

struct Surface {
  double value;
  Vec3 gradient;
};

Surface other_at(const Meeting& m, const Vec3& p) {
  if (m.onto == nullptr) return {(p - m.plane_point).dot(m.plane_normal), m.plane_normal};
  const shape::Level l = shape::level(m.onto->tube(), p);
  return {l.value, l.gradient};
}

struct Spot {
  Vec3 p, t;
};

/// The point of both surfaces beside p, square to `way`; nothing where the two nearly touch.
std::optional<Spot> on_both(const Meeting& m, const Vec3& p, const Vec3& way) {
  Vec3 q = p;
  for (int i = 0; i < 20; ++i) {
    const shape::Level a = shape::level(m.skin.tube(), q);
    const Surface b = other_at(m, q);
    Eigen::Matrix3d rows;
    rows << a.gradient.transpose(), b.gradient.transpose(), way.transpose();
    if (std::abs(rows.determinant()) < 1e-3) return std::nullopt;
    const Vec3 step = -rows.inverse() * Vec3(a.value, b.value, (q - p).dot(way));
    if (step.norm() > 0.5) return std::nullopt;
    q += step;
    if (step.norm() > 1e-11) continue;
    const Vec3 t = a.gradient.cross(b.gradient).normalized();
    return Spot{q, t.dot(way) < 0 ? Vec3(-t) : t};
  }
  return std::nullopt;
}

/// How far the curve in a skin's parameters runs from the cubic in space.
double off_on(const Skin& skin, const Strand& span) {
  const Handle(Geom2d_Curve) curve = curve_on(skin.surface(), span, places(skin, span));
  const double h = span.at.back();
  double most = 0;
  for (const double x : {0.25, 0.5, 0.75}) {
    const gp_Pnt2d q = curve->Value(x * h);
    const double y = 1 - x;
    const Vec3 on_cubic = y * y * ((1 + 2 * x) * span.points[0] + x * h * span.tangents[0]) +
                          x * x * ((1 + 2 * y) * span.points[1] - y * h * span.tangents[1]);
    most = std::max(most, (back(skin.surface()->Value(q.X(), q.Y()).XYZ()) - on_cubic).norm());
  }
  return most;
}

void halve(const Meeting& m, const Spot& a, const Spot& b, int depth, Strand& out) {
  const Vec3 way = b.p - a.p;
  if (depth == 0 || way.norm() < 2 * kFinest) return;
  const Strand span = strand_of({a.p, b.p}, {a.t, b.t});
  const Vec3 middle = 0.5 * (a.p + b.p) + span.at.back() / 8 * (a.t - b.t);
  const auto between = on_both(m, middle, way.normalized());
  if (!between) return;
  double off = (between->p - middle).norm();
  if (off < kOff) off = off_on(m.skin, span);
  if (off < kOff && m.onto != nullptr) off = off_on(*m.onto, span);
  if (off < kOff) return;
  halve(m, a, *between, depth - 1, out);
  out.points.push_back(between->p), out.tangents.push_back(between->t);
  halve(m, *between, b, depth - 1, out);
}

}  // namespace

Strand fine_strand(const Meeting& meeting, const Strand& strand) {
  Strand out;
  for (std::size_t i = 0; i < strand.points.size(); ++i) {
    out.points.push_back(strand.points[i]), out.tangents.push_back(strand.tangents[i]);
    if (i + 1 == strand.points.size()) break;
    halve(meeting, {strand.points[i], strand.tangents[i]}, {strand.points[i + 1], strand.tangents[i + 1]},
          kDeepest, out);
  }
  return strand_of(std::move(out.points), std::move(out.tangents));
}

}  // namespace halfround::solid
