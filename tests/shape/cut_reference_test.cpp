// Every point of a cut against the curve found in long double: Gauss-Newton on the two implicit surfaces,
// written apart from src/shape. Straight tubes of elliptical section and one arc; nothing of the code under
// test is used.
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <array>

#include "mitre_scene.h"

namespace halfround::shape {
namespace {

using Real = long double;
using V = Eigen::Matrix<Real, 3, 1>;

/// An elliptical tube on one straight piece or one arc, half axes straight lines in s.
struct Surface {
  V p, t, m, b, n;      // start of the piece
  Real s0, curvature;   // arc length there
  Real a0, a1, b0, b1;  // half axes: a = a0 + a1 s

  /// 0 on the surface, about a distance near it
  [[nodiscard]] Real value(const V& x) const {
    const V d = x - p;
    Real s = s0, along_m, along_b;
    if (curvature == 0) {
      s += d.dot(t);
      along_m = d.dot(m), along_b = d.dot(b);
    } else {
      const V axis = t.cross(n);
      const Real from_centre = 1 / curvature - d.dot(n), angle = std::atan2(d.dot(t), from_centre);
      s += angle / curvature;
      const Real toward = 1 / curvature - std::hypot(d.dot(t), from_centre), beside = d.dot(axis);
      along_m = toward * m.dot(n) + beside * m.dot(axis);
      along_b = toward * b.dot(n) + beside * b.dot(axis);
    }
    const Real a = a0 + a1 * s, bb = b0 + b1 * s;
    const Real rho2 = along_m * along_m / (a * a) + along_b * along_b / (bb * bb);
    return (rho2 - 1) * std::min(a, bb) / 2;
  }
  [[nodiscard]] V gradient(const V& x) const {
    const Real h = 1e-5L;
    V g;
    for (int i = 0; i < 3; ++i) {
      V d = V::Zero();
      d[i] = h;
      g[i] = (value(x - 2 * d) - value(x + 2 * d) + 8 * (value(x + d) - value(x - d))) / (12 * h);
    }
    return g;
  }
};

Surface surface_of(const Tube& tube, const Piece& q) {
  Surface out;
  out.p = q.p.cast<Real>(), out.t = q.t.cast<Real>(), out.m = q.m.cast<Real>(), out.n = q.n.cast<Real>();
  out.t.normalize();
  out.m = (out.m - out.m.dot(out.t) * out.t).normalized();
  out.n = (out.n - out.n.dot(out.t) * out.t).normalized();
  out.b = out.t.cross(out.m);
  out.s0 = q.s0, out.curvature = q.curvature;
  const auto& st = tube.profile.stations();
  const Real h = st.size() > 1 ? Real(st[1].s) - Real(st[0].s) : 1;
  out.a1 = (Real(st.back().width) - Real(st[0].width)) / 2 / h;
  out.b1 = (Real(st.back().depth) - Real(st[0].depth)) / 2 / h;
  out.a0 = Real(st[0].width) / 2 - out.a1 * Real(st[0].s);
  out.b0 = Real(st[0].depth) / 2 - out.b1 * Real(st[0].s);
  return out;
}

/// How far p stands from the common curve of two surfaces, mm. At a turning point the surfaces are tangent
/// along the generator but still cross, so the curve is well defined there.
Real distance_from_curve(const Surface& f, const Surface& g, const V& p) {
  V x = p;
  for (int i = 0; i < 20; ++i) {
    Eigen::Matrix<Real, 2, 3> J;
    J.row(0) = f.gradient(x).transpose();
    J.row(1) = g.gradient(x).transpose();
    const Eigen::Matrix<Real, 2, 1> r(f.value(x), g.value(x));
    const Eigen::Matrix<Real, 2, 2> JJ = J * J.transpose();
    const Real det = JJ(0, 0) * JJ(1, 1) - JJ(0, 1) * JJ(1, 0);
    const Eigen::Matrix<Real, 2, 1> w((JJ(1, 1) * r[0] - JJ(0, 1) * r[1]) / det,
                                      (JJ(0, 0) * r[1] - JJ(1, 0) * r[0]) / det);
    x -= J.transpose() * w;
  }
  return (x - p).norm();
}

class CutReference : public testing::TestWithParam<MitreScene> {};

TEST_P(CutReference, PointsLieOnTheCurveFoundInLongDouble) {
  for (const bool inside : {false, true}) {
    MitreScene scene = GetParam();
    if (inside) scene.member = scene.member.inner();
    const auto found = cut(scene.member, scene.target, scene.search);
    ASSERT_TRUE(found) << base::sentence(found.error());
    EXPECT_TRUE(inside || scene.partial == (found->passed_by > 0));
    const Surface target = surface_of(scene.target, scene.target.centreline.pieces()[0]);
    std::vector<Surface> member;
    for (const Piece& q : scene.member.centreline.pieces()) member.push_back(surface_of(scene.member, q));
    Real worst = 0;
    for (const CutPoint& q : found->points) {
      const Surface& own =
          member.size() > 1 && q.s > scene.member.centreline.pieces()[1].s0 ? member[1] : member[0];
      if (q.met) worst = std::max(worst, distance_from_curve(own, target, q.p.cast<Real>()));
      if (!q.met) {
        EXPECT_NEAR(static_cast<double>(own.value(q.p.cast<Real>())), 0, 1e-9);
        EXPECT_NEAR((q.p - found->plane_point).dot(found->plane_normal), 0, 1e-9);
      }
    }
    EXPECT_LT(worst, 1e-9L);
    std::printf("%s%s: %zu points, worst %.2Lg mm\n", scene.name, inside ? ", inner" : "",
                found->points.size(), worst);
  }
}

std::string name_of(const testing::TestParamInfo<MitreScene>& info) {
  std::string name = info.param.name;
  std::erase_if(name, [](char c) { return c == ',' || c == ' '; });
  return name;
}
INSTANTIATE_TEST_SUITE_P(Scenes, CutReference, testing::ValuesIn(mitre_scenes()), name_of);

/// Chord against curve, checked between every two neighbours at three places, partial mitres and turning
/// points too.
TEST_P(CutReference, TheCurveLeavesItsChordsByLessThanTheTolerance) {
  const MitreScene& scene = GetParam();
  const auto found = cut(scene.member, scene.target, scene.search);
  ASSERT_TRUE(found);
  const Surface target = surface_of(scene.target, scene.target.centreline.pieces()[0]);
  std::vector<Surface> member;
  for (const Piece& q : scene.member.centreline.pieces()) member.push_back(surface_of(scene.member, q));
  Real worst = 0;
  const std::size_t n = found->points.size();
  for (std::size_t i = 0; i < n; ++i) {
    const CutPoint &a = found->points[i], &b = found->points[(i + 1) % n];
    if (!a.met || !b.met) continue;
    const Surface& own =
        member.size() > 1 && a.s > scene.member.centreline.pieces()[1].s0 ? member[1] : member[0];
    for (const double x : {0.25, 0.5, 0.75}) {
      worst = std::max(worst, distance_from_curve(own, target, ((1 - x) * a.p + x * b.p).cast<Real>()));
    }
  }
  EXPECT_LT(worst, static_cast<Real>(kChordTol));
  std::printf("%s: chord %.3Lg mm\n", scene.name, worst);
}

}  // namespace
}  // namespace halfround::shape
