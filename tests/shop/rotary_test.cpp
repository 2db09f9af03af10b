#include "shop/rotary.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "shop_scene.h"
#include "parts.h"

namespace halfround::shop {
namespace {

using base::to_deg;
using base::to_rad;
using base::Vec3;

/// A round tube along z onto a wider one across it: depth in closed form.
bike::Assembly tee(double wall = 1.2) {
  const shape::Tube member{shape::Centreline::from_runs({{200, 0, 0}}, {0, 0, -200}, {0, 0, 1}, {1, 0, 0}),
                           shape::Profile::round(25, wall)};
  const shape::Tube target{shape::Centreline::from_runs({{200, 0, 0}}, {0, -100, 0}, {0, 1, 0}, {1, 0, 0}),
                           shape::Profile::round(36, 1.5)};
  return one_joint(member, target);
}

RotaryPath path_of(const bike::Assembly& a, const RotaryTool& tool) {
  return rotary_path(a, mitres_of(a)[0], tool);
}

TEST(Rotary, AMarkingPathFollowsTheClosedForm) {
  const bike::Assembly a = tee();
  const auto m = mitres_of(a)[0];
  const RotaryPath p = rotary_path(a, m, {});
  ASSERT_TRUE(p.why_not().empty()) << p.why_not();
  EXPECT_FALSE(p.mills);
  const double scribe = -200 + m.s_scribe;  // z of the scribe line
  for (const RotaryMove& q : p.moves) {
    if (q.rapid || q.z > 12.6) continue;
    // the tube's z at the target's surface: -sqrt(R^2 - x^2), with the mark line along x
    const double x = 12.5 * std::cos(q.a), depth = -std::sqrt(18.0 * 18.0 - x * x) - scribe;
    EXPECT_NEAR(q.x, depth, 0.003) << to_deg(q.a);
    EXPECT_NEAR(q.z, 12.5, 1e-6);
  }
  EXPECT_NEAR(to_deg(p.moves.back().a), 365, 1e-9);
  EXPECT_NEAR(p.run_out, 0, 1e-9);
}

TEST(Rotary, AMillNeverTouchesWhatStaysAndTellsWhatItLeaves) {
  const bike::Assembly a = tee();
  for (const double d : {1.0, 3.0, 6.0, 10.0}) {
    const RotaryPath p = path_of(a, {.diameter = d});
    ASSERT_TRUE(p.why_not().empty()) << p.why_not();
    EXPECT_TRUE(p.mills) << p.why_marks;
    EXPECT_LE(p.dry.gouged, 0.002) << d;
    EXPECT_GT(p.dry.lowest, 0) << d;
    // outer and inner edge differ by more than 0.3 mm somewhere: a radial tool can't cut both
    EXPECT_GT(p.dry.left_outer + p.dry.left_inner, 0.3) << d;
    EXPECT_LT(p.dry.left_outer, 1.5) << d;
  }
}

TEST(Rotary, TheDryRunSeesABadMove) {
  const bike::Assembly a = tee();
  const auto m = mitres_of(a)[0];
  RotaryPath p = rotary_path(a, m, {.diameter = 4});
  ASSERT_TRUE(p.dry.fine());
  RotaryPath into = p;
  into.moves[into.moves.size() / 2].x -= 0.4;
  EXPECT_NEAR(dry_run(a, m, into).gouged, 0.4, 0.05);
  EXPECT_FALSE(dry_run(a, m, into).fine());
  RotaryPath under = p;
  under.moves[10].z = -0.1;
  EXPECT_FALSE(dry_run(a, m, under).fine());
  RotaryPath rapid = p;
  rapid.moves[1].rapid = true;
  EXPECT_TRUE(dry_run(a, m, rapid).rapid_in_steel);
}

TEST(Rotary, AMillWiderThanTheBoreOrAnUnknownWallOnlyMarks) {
  const RotaryPath wide = path_of(tee(), {.diameter = 20});
  EXPECT_FALSE(wide.mills);
  EXPECT_NE(wide.why_marks.find("too wide"), std::string::npos);
  const RotaryPath unknown = path_of(tee(0), {.diameter = 4});
  EXPECT_FALSE(unknown.mills);
  EXPECT_NE(unknown.why_marks.find("wall"), std::string::npos);
  EXPECT_TRUE(unknown.why_not().empty());
}

TEST(Rotary, ABentEndIsNotForAMachine) {
  const bike::Assembly a = scene_fork();
  bool bent = false, straight = false;
  for (const auto& m : mitres_of(a)) {
    const RotaryPath p = rotary_path(a, m, {});
    (p.why_not().empty() ? straight : bent) = true;
    EXPECT_EQ(p.why_not().empty(), p.run_out <= 0.5) << m.member;
  }
  EXPECT_TRUE(bent);
  EXPECT_TRUE(straight);
}

}  // namespace
}  // namespace halfround::shop
