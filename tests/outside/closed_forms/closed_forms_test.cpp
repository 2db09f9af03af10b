// Round tubes onto round tubes: ordinates and seam lengths of the closed form, and equal tubes' plane
// half-ellipses.
#include <gtest/gtest.h>

#include <cmath>

#include "mitre_scene.h"
#include "outside/table.h"
#include "shape/unroll.h"

namespace halfround::shape {
namespace {

constexpr double kReach = 150;  // from the member's start to the header's axis, mm

struct Pair {
  Tube branch, header;
};

/// Theta counts from the obtuse side, where the branch is shortest: there lies our mark line.
Pair pair_of(double r, double R, double beta_deg, double e) {
  return {{scene_line({{2 * kReach, 0, 0}}, kReach, base::to_rad(beta_deg), e), Profile::round(2 * r, 0)},
          {Centreline::from_runs({{800, 0, 0}}, Vec3(0, 0, -400), Vec3::UnitZ(), Vec3::UnitX()),
           Profile::round(2 * R, 0)}};
}

TEST(ClosedForms, OrdinatesAndSeamsOfRoundTubesAreTheTabledOnes) {
  const auto rows = outside::table("closed_forms/round_on_round.tsv");
  ASSERT_EQ(rows.size(), 6U);
  for (const auto& row : rows) {
    const auto [branch, header] = pair_of(outside::number(row[1]), outside::number(row[2]),
                                          outside::number(row[3]), outside::number(row[4]));
    const auto found = cut(branch, header, {0, 2 * kReach});
    ASSERT_TRUE(found) << row[0];
    EXPECT_LT(found->passed_by, 1e-6) << row[0];  // equal tubes only just touch at the sides
    const auto expect = outside::numbers(row[5]);
    std::size_t checked = 0;
    double seam = 0;
    for (std::size_t i = 0; i < found->points.size(); ++i) {
      const CutPoint& q = found->points[i];
      seam += (found->points[(i + 1) % found->points.size()].p - q.p).norm();
      const double steps = q.u / base::to_rad(30);
      const auto k = static_cast<std::size_t>(std::lround(steps));
      if (std::abs(steps - std::round(steps)) > 1e-9 || k >= expect.size()) continue;
      EXPECT_NEAR(kReach - q.s, expect[k], 1e-4) << row[0] << " at " << 30 * k;
      ++checked;
    }
    EXPECT_GE(checked, expect.size()) << row[0];
    // chords are shorter than the curve: by less than 1e-4 of it at a chord tolerance of 0.001 mm
    EXPECT_NEAR(seam, outside::number(row[6]), 1e-4 * outside::number(row[6])) << row[0];
  }
}

/// Equal tubes, axes crossing: s = R |cos t| tan(beta/2) on the obtuse half, R |cos t| cot(beta/2) on the
/// acute half; at 90 degrees the seam is 7.640395578 R long. [derived]
TEST(ClosedForms, EqualTubesMeetInTwoPlaneHalfEllipses) {
  const double R = 15.9;
  for (const double beta_deg : {90.0, 73.0, 60.0, 45.0}) {
    const auto [branch, header] = pair_of(R, R, beta_deg, 0);
    const auto found = cut(branch, header, {0, 2 * kReach});
    ASSERT_TRUE(found) << base::sentence(found.error());
    double seam = 0;
    for (std::size_t i = 0; i < found->points.size(); ++i) {
      const CutPoint& q = found->points[i];
      seam += (found->points[(i + 1) % found->points.size()].p - q.p).norm();
      const double t = std::tan(base::to_rad(beta_deg) / 2), c = q.e.x();
      // where both surfaces touch (c near 0) the root is double: half the digits are lost
      EXPECT_NEAR(kReach - q.s, R * (c > 0 ? c * t : -c / t), std::abs(c) < 1e-3 ? 1e-4 : 1e-8)
          << beta_deg << " at " << base::to_deg(q.u);
    }
    if (beta_deg == 90) {
      EXPECT_NEAR(seam, 7.640395578 * R, 1e-4 * seam);
    }
  }
}

/// At the sides the inner edge of a thin tube meets the header earlier than the outer: 31.8 x 0.9 onto 36.4
/// square, outer 8.856, inner 10.307; the difference 0.948 for 28.6 x 0.8 and 1.000 for 31.8 x 0.6. [derived]
TEST(ClosedForms, TheInnerEdgeMeetsTheHeaderEarlierAtTheSides) {
  const auto side = [](double diameter) {
    const auto [branch, header] = pair_of(diameter / 2, 18.2, 90, 0);
    const auto found = cut(branch, header, {0, 2 * kReach});
    for (const CutPoint& q : found->points) {
      if (std::abs(q.u - base::kPi / 2) < 1e-12) return kReach - q.s;
    }
    return 0.0;
  };
  EXPECT_NEAR(side(31.8), 8.856, 1e-3);
  EXPECT_NEAR(side(30.0), 10.307, 1e-3);
  EXPECT_NEAR(side(27.0) - side(28.6), 0.948, 1e-3);
  EXPECT_NEAR(side(30.6) - side(31.8), 1.000, 1e-3);
}

}  // namespace
}  // namespace halfround::shape
