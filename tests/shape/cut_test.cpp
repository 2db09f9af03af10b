// The mitre's curve against closed forms and against itself.
#include "shape/cut.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

namespace halfround::shape {
namespace {

using namespace base::literals;

/// Branch coming along direction d (ending far beyond the header's axis) with its axis shifted by `offset`
/// along +y.
Tube branch_at(double beta, double offset, Profile profile) {
  const Vec3 d(-std::sin(beta), 0, std::cos(beta));  // toward the header, header axis +z at x = y = 0
  const Vec3 m(std::cos(beta), 0, std::sin(beta));
  return {Centreline::from_runs({{400, 0, 0}}, Vec3(0, offset, 0) - 300 * d, d, m), std::move(profile)};
}
Tube header(double radius) {
  return {Centreline::from_runs({{600, 0, 0}}, Vec3(0, 0, -300), Vec3::UnitZ(), Vec3::UnitX()),
          Profile::round(2 * radius, 1)};
}

TEST(Cut, RoundTubesFollowTheClosedForm) {
  struct Case {
    double r, R, beta_deg, offset;
  };
  for (const Case& c : {Case{15.9, 18.2, 60, 0}, Case{14.3, 19.05, 90, 0}, Case{8, 14.3, 30, 5},
                        Case{11.1, 19.05, 90, 7.5}}) {
    const double beta = base::to_rad(c.beta_deg);
    const Tube tube = branch_at(beta, c.offset, Profile::round(2 * c.r, 1));
    const auto found = cut(tube, header(c.R), {100, 420});
    ASSERT_TRUE(found) << base::sentence(found.error());
    EXPECT_EQ(found->passed_by, 0);
    for (const CutPoint& q : found->points) {
      const double y = q.p.y(), along = c.r * q.e.x();  // m lies in the plane of both axes
      const double x = std::sqrt(c.R * c.R - y * y);
      // q.p = foot + along*m: solve s from x
      const double s = 300 - (x - along * std::cos(beta)) / std::sin(beta);
      EXPECT_NEAR(q.s, s, 1e-9);
    }
  }
}

TEST(Cut, PolylineStaysWithinTheChordTolerance) {
  const Tube tube = branch_at(1.2, 4, Profile({{0, 22, 26, 1, nullptr}, {400, 28, 20, 1, nullptr}}));
  const Tube target = header(14.3);
  const auto found = cut(tube, target, {100, 420});
  ASSERT_TRUE(found);
  double worst = 0;
  const auto& p = found->points;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const CutPoint& a = p[i];
    const CutPoint& b = p[(i + 1) % p.size()];
    if (!a.met || !b.met) continue;
    // distance of the chord's middle from both surfaces bounds its distance from the curve for crossing
    // surfaces
    const Vec3 mid = 0.5 * (a.p + b.p);
    worst = std::max({worst, std::abs(level(target, mid).value), std::abs(level(tube, mid).value)});
  }
  EXPECT_LT(worst, kChordTol);
}

TEST(Cut, AWiderBladePassesBesideAndStopsAtTheAxisPlane) {
  const Tube tube = branch_at(1.4, 0, Profile({{0, 20, 34, 1, nullptr}}));
  const auto found = cut(tube, header(14.3), {100, 420});
  ASSERT_TRUE(found);
  int missed = 0;
  for (const CutPoint& q : found->points) {
    if (q.met) {
      EXPECT_NEAR(level(header(14.3), q.p).value, 0, 1e-9) << q.u << " " << q.s;
    } else {
      ++missed;
      EXPECT_NEAR(q.p.x(), 0, 1e-9);
    }
  }
  // |y| > 14.3 on an ellipse with half depth 17: sin(parameter) = 14.3/17 on four places
  const double parameter = std::asin(14.3 / 17);
  const double u = std::atan2(17 * std::sin(parameter), 10 * std::cos(parameter));
  EXPECT_NEAR(found->passed_by, 2 * (base::kPi - 2 * u), 1e-7);
  EXPECT_GT(missed, 4);
  double worst = 0;
  const auto& p = found->points;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const CutPoint &a = p[i], &b = p[(i + 1) % p.size()];
    EXPECT_LE(a.u, i + 1 < p.size() ? b.u : 7.0);
    if (!a.met || !b.met) continue;
    const Vec3 mid = 0.5 * (a.p + b.p);
    worst = std::max({worst, std::abs(level(header(14.3), mid).value), std::abs(level(tube, mid).value)});
  }
  EXPECT_LT(worst, kChordTol);
}

TEST(Cut, ATubeOfTheHeadersOwnDiameterPassesNowhere) {
  for (const double angle : {1.5707963267948966, 1.2, 0.9}) {
    for (const double diameter : {22.2, 24.0, 25.4, 28.575}) {
      const auto found =
          cut(branch_at(angle, 0, Profile::round(diameter, 1)), header(diameter / 2), {100, 420});
      ASSERT_TRUE(found) << base::sentence(found.error());
      EXPECT_EQ(found->passed_by, 0) << angle << ", " << diameter;
      for (const CutPoint& q : found->points) EXPECT_TRUE(q.met) << q.u;
    }
  }
}

TEST(Cut, ATubeThatPassesBesideIsRefusedWithTheGap) {
  const auto found = cut(branch_at(1.2, 40, Profile::round(20, 1)), header(14.3), {100, 420});
  ASSERT_FALSE(found);
  EXPECT_EQ(found.error().code, "mitre-no-contact");
  EXPECT_NE(found.error().what.find("15.70 mm"), std::string::npos) << found.error().what;
}

}  // namespace
}  // namespace halfround::shape
