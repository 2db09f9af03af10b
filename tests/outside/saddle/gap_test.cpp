// The gap that a cutter of another size leaves, against the chord formulas of the pipe trades: a circle of
// radius r stands back from its tangent by the sagitta r - sqrt(r^2 - y^2) at the half chord y [Machinery's
// Handbook 31st ed., "Circular segments"]; two such arcs, cutter and pipe, differ by the gap.
#include <gtest/gtest.h>

#include <cmath>

#include "shop_scene.h"
#include "parts.h"

namespace halfround::shop {
namespace {

double sagitta(double r, double y) {
  return r - std::sqrt(r * r - y * y);
}

CutterFit fit_of(double tube, double cutter, double angle_deg) {
  const auto scene = shape::straight_scene("saddle", shape::Profile::round(tube, 0.9), angle_deg, 0);
  const bike::Assembly a = one_joint(scene.member, scene.target);
  Shop shop;
  shop.cutters = {{"saw", CutterKind::hole_saw, cutter, 0}};
  return set_ups(a, mitres_of(a), shop).at(0).cutters.at(0);
}

double along_at(const CutterFit& f, double u_deg) {
  for (const GapPoint& g : f.gaps) {
    if (std::abs(g.u - base::to_rad(u_deg)) < 1e-8) return g.along;
  }
  return NAN;
}

// A bigger cutter bears at the bottom of the saddle; at the ears, y = tube radius, the pipe's arc has fallen
// away more than the cutter's.
TEST(SaddleFormulas, ABiggerCutterGapesAtTheEars) {
  for (const double angle : {90.0, 60.0}) {
    for (const double saw : {29.2, 31.75, 38.1}) {
      const CutterFit f = fit_of(24, saw, angle);
      const double across = sagitta(14.3, 12) - sagitta(saw / 2, 12);
      EXPECT_NEAR(along_at(f, 0), 0, 1e-3) << saw;
      EXPECT_NEAR(along_at(f, 90), across / std::sin(base::to_rad(angle)), 2e-3) << saw;
      EXPECT_NEAR(along_at(f, 270), across / std::sin(base::to_rad(angle)), 2e-3) << saw;
      const double x = std::sqrt(14.3 * 14.3 - 144) + across;
      EXPECT_NEAR(f.greatest_gap, std::hypot(x, 12) - 14.3, 2e-3) << saw;
    }
  }
}

// A smaller one bears at the ears and leaves the bottom open.
TEST(SaddleFormulas, ASmallerCutterGapesAtTheBottom) {
  for (const double saw : {25.4, 28.0, 28.575}) {
    const CutterFit f = fit_of(24, saw, 90);
    const double bottom = sagitta(saw / 2, 12) - sagitta(14.3, 12);
    EXPECT_NEAR(along_at(f, 90), 0, 1e-3) << saw;
    EXPECT_NEAR(along_at(f, 0), bottom, 2e-3) << saw;
    EXPECT_NEAR(along_at(f, 180), bottom, 2e-3) << saw;
    EXPECT_NEAR(f.greatest_gap, bottom, 2e-3) << saw;
  }
}

// In between, every 15 degrees: y = 12 sin u.
TEST(SaddleFormulas, TheMapFollowsTheArcsAllTheWayRound) {
  const CutterFit f = fit_of(24, 31.75, 90);
  for (int i = 0; i < 24; ++i) {
    const double y = 12 * std::sin(base::to_rad(15.0 * i));
    EXPECT_NEAR(along_at(f, 15.0 * i), sagitta(14.3, y) - sagitta(15.875, y), 2e-3) << 15 * i;
  }
}

}  // namespace
}  // namespace halfround::shop
