// The mitres that hurt: nearly tangent, outlines measured by hand, oval and bent targets, two bends. Each is
// checked against a slow search along every generator that shares nothing with cut() but the surfaces.
#include <gtest/gtest.h>

#include <cmath>
#include <memory>

#include "mitre_scene.h"

namespace halfround::shape {
namespace {

Profile measured_profile() {
  std::vector<Vec2> points;
  for (int i = 0; i < 16; ++i) {
    const double u = 2 * base::kPi * i / 16;
    points.emplace_back(u, 12 + 1.2 * std::cos(2 * u) + 0.5 * std::cos(3 * u + 0.4));
  }
  const auto outline = std::make_shared<PolarOutline>(points);
  return Profile({{0, 18, 20, 1, nullptr}, {200, 0, 0, 1, outline}, {340, 24, 30, 1, nullptr}});
}

/// First place along a generator where the level falls below zero, by small steps and halving; NaN where it
/// doesn't.
double first_meeting(const MitreScene& scene, double u, double step = 0.02) {
  const Vec2 e = base::unit_at(u);
  const auto g = [&](double s) { return level(scene.target, surface(scene.member, e, s).p).value; };
  double before = scene.search.s_body;
  for (double s = before + step; s < scene.search.s_limit; s += step) {
    if (g(s) <= 0) {
      double lo = before, hi = s;
      while (hi - lo > 1e-12) (g(0.5 * (lo + hi)) > 0 ? lo : hi) = 0.5 * (lo + hi);
      return hi;
    }
    before = s;
  }
  return NAN;
}

void expect_sound(const MitreScene& scene) {
  SCOPED_TRACE(scene.name);
  const auto found = cut(scene.member, scene.target, scene.search);
  ASSERT_TRUE(found) << base::sentence(found.error());
  const auto& p = found->points;
  double u_before = -1;
  std::size_t checked = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const CutPoint &a = p[i], &b = p[(i + 1) % p.size()];
    ASSERT_GE(a.u, u_before);
    u_before = a.u;
    if (!a.met) {
      EXPECT_NEAR((a.p - found->plane_point).dot(found->plane_normal), 0, 1e-9);
      continue;
    }
    EXPECT_NEAR(level(scene.target, a.p).value, 0, 1e-9);
    EXPECT_NEAR((surface(scene.member, a.e, a.s).p - a.p).norm(), 0, 1e-9);
    if (b.met) {
      const Vec3 mid = 0.5 * (a.p + b.p);
      EXPECT_LT(std::abs(level(scene.target, mid).value), 1.5 * kChordTol) << base::to_deg(a.u);
      EXPECT_LT(std::abs(level(scene.member, mid).value), 1.5 * kChordTol) << base::to_deg(a.u);
    }
    if (i % 9 != 0) continue;
    // no earlier meeting; a graze shorter than the slow search's step may be missed by it, not by cut()
    const double s = first_meeting(scene, a.u);
    if (std::isnan(s)) continue;
    EXPECT_NEAR(a.s, s, 1e-6) << base::to_deg(a.u);
    ++checked;
  }
  EXPECT_GT(checked, 5u);
  int missed = 0;
  constexpr int n = 720;
  for (int i = 0; i < n; ++i) missed += std::isnan(first_meeting(scene, 2 * base::kPi * (i + 0.5) / n, 0.2));
  EXPECT_NEAR(base::to_deg(found->passed_by), missed * 360.0 / n, 3.0);
}

TEST(CutHard, AMeasuredOutlineMeetsTheSteerer) {
  expect_sound(straight_scene("measured", measured_profile(), 72, 2));
}

TEST(CutHard, ABendRunsIntoTheCut) {
  expect_sound(bent_scene("bent", Profile({{0, 18, 20, 1, nullptr}, {330, 24, 27, 1, nullptr}}), 80, 0));
}

TEST(CutHard, AMeasuredBentBladePassesBeside) {
  expect_sound(bent_scene("bent, measured", measured_profile(), 80, 3, true));
}

TEST(CutHard, AnOvalTargetIsMet) {
  MitreScene scene = straight_scene("oval target", Profile::round(20, 1), 65, 3);
  scene.target.profile = Profile({{0, 34, 26, 1, nullptr}, {240, 30, 36, 1, nullptr}});
  expect_sound(scene);
}

TEST(CutHard, AMeasuredTargetIsMet) {
  MitreScene scene = straight_scene("measured target", Profile::round(16, 1), 80, 1);
  scene.target.profile = measured_profile();
  expect_sound(scene);
}

TEST(CutHard, ABentTargetIsMet) {
  MitreScene scene = straight_scene("bent target", Profile::round(20, 1), 90, 2);
  const shape::Run bend{90, 0.9, base::kPi / 2};
  const Centreline line =
      Centreline::from_runs({{75, 0, 0}, bend, {75, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX());
  const Frame middle = line.at(120);
  base::Pose X = base::Pose::Identity();
  base::Mat3 from, to;
  from << middle.t, middle.m, middle.b;
  to << Vec3::UnitZ(), Vec3::UnitX(), Vec3::UnitY();
  X.linear() = to * from.transpose();
  X.translation() = -(X.linear() * middle.c);
  scene.target = {line.moved(X), Profile::round(28.6, 1.6)};
  expect_sound(scene);
}

TEST(CutHard, NearlyTangentTubesMeetInASliver) {
  for (const double overlap : {3.0, 1.0, 0.3, 0.1}) {
    const double offset = 14.3 + 8 - overlap;
    const MitreScene scene = straight_scene("sliver", Profile::round(16, 1), 75, offset, true);
    const auto found = cut(scene.member, scene.target, scene.search);
    ASSERT_TRUE(found) << overlap << ": " << base::sentence(found.error());
    // generators with y = offset + 8 sin u < 14.3 meet it, whatever the angle
    const double met = 2 * std::acos((8 - overlap) / 8.0);
    EXPECT_NEAR(2 * base::kPi - found->passed_by, met, 1e-6) << overlap;
    for (const CutPoint& q : found->points) {
      if (q.met) {
        EXPECT_NEAR(level(scene.target, q.p).value, 0, 1e-9);
      }
    }
  }
}

TEST(CutHard, TheSideOfATubeThatJustTouchesFromInsideIsWhole) {
  // the member's edge comes within 0.01 mm of passing beside, and does not
  const MitreScene scene = straight_scene("inside", Profile::round(20, 1), 75, 14.3 - 10 - 0.01);
  const auto found = cut(scene.member, scene.target, scene.search);
  ASSERT_TRUE(found);
  EXPECT_EQ(found->passed_by, 0);
  expect_sound(scene);
}

}  // namespace
}  // namespace halfround::shape
