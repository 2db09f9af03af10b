// What pipe fitters and sheet-metal workers print in their tables.
#include <gtest/gtest.h>

#include <cmath>

#include "mitre_scene.h"
#include "outside/table.h"
#include "shape/unroll.h"

namespace halfround::shape {
namespace {

/// A branch of radius r onto a header of radius R; clock angle 0 lies on the long (acute) side.
base::Result<Cut> branch_cut(double R, double r, double beta, Tube& branch) {
  const double reach = 4 * (R + r);
  branch = {scene_line({{2 * reach, 0, 0}}, reach, beta, 0), Profile::round(2 * r, 0)};
  const Tube header{
      Centreline::from_runs({{4 * reach, 0, 0}}, Vec3(0, 0, -2 * reach), Vec3::UnitZ(), Vec3::UnitX()),
      Profile::round(2 * R, 0)};
  return cut(branch, header, {0, 2 * reach});
}

/// Length of the developed branch at clock angle u, between the cut's points by a parabola through three.
double depth_at(const Cut& cut, double u) {
  const auto& p = cut.points;
  std::size_t i = 0;
  while (i + 1 < p.size() && std::abs(p[i + 1].u - u) < std::abs(p[i].u - u)) ++i;
  const std::size_t n = p.size();
  const CutPoint &a = p[(i + n - 1) % n], &b = p[i], &c = p[(i + 1) % n];
  const auto from_b = [&](const CutPoint& q) { return std::remainder(q.u - b.u, 2 * base::kPi); };
  const double x = u - b.u, xa = from_b(a), xc = from_b(c);
  return b.s * (x - xa) * (x - xc) / (xa * xc) + a.s * x * (x - xc) / (xa * (xa - xc)) +
         c.s * x * (x - xa) / (xc * (xc - xa));
}

TEST(PipeTrade, CutbacksOfLateralAndTeeAreTheTabledOnes) {
  const auto rows = outside::table("pipe_trade/cutbacks.tsv");
  ASSERT_EQ(rows.size(), 2U);
  for (const auto& row : rows) {
    const double R = outside::number(row[1]), r = outside::number(row[2]);
    Tube branch;
    const auto found = branch_cut(R, r, base::to_rad(outside::number(row[3])), branch);
    ASSERT_TRUE(found);
    const auto expect = outside::numbers(row[4]);
    // the lateral's table starts on the long side, the tee's at the crotch, where the branch is shortest
    for (std::size_t i = 0; i < expect.size(); ++i) {
      const double theta = base::to_rad(22.5) * static_cast<double>(i);
      const double from = depth_at(*found, row[0] == "tee" ? 0 : base::kPi);
      const double at = depth_at(*found, row[0] == "tee" ? theta : base::kPi - theta);
      EXPECT_NEAR(std::abs(at - from), expect[i], outside::number(row[5]))
          << row[0] << " at " << base::to_deg(theta);
    }
  }
}

/// A cone cut square has a flat pattern between two arcs: its sector and both radii are read off the unrolled
/// paper.
TEST(PipeTrade, AFrustumDevelopsIntoTheTabledSector) {
  const auto rows = outside::table("pipe_trade/frustums.tsv");
  ASSERT_EQ(rows.size(), 2U);
  for (const auto& row : rows) {
    const double D = outside::number(row[1]), d = outside::number(row[2]), slant = outside::number(row[3]);
    const double h = std::sqrt(slant * slant - (D - d) * (D - d) / 4);
    const Tube cone{Centreline::from_runs({{h, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX()),
                    Profile({{0, D, D, 0, nullptr}, {h, d, d, 0, nullptr}})};
    Cut square;
    constexpr int kPoints = 720;
    for (int i = 0; i < kPoints; ++i) {
      CutPoint q;
      q.u = 2 * base::kPi * i / kPoints, q.e = base::unit_at(q.u), q.s = h, q.p = surface(cone, q.e, h).p;
      square.points.push_back(q);
    }
    const Unrolled flat = unroll(cone, square, {.s_scribe = 0, .paper = 0});
    // the generators of the two edges of the paper meet in the sector's centre
    const Vec2 a = flat.edge.front() - flat.ring.front(), b = flat.edge.back() - flat.ring.back();
    const double sector = std::acos(a.dot(b) / a.norm() / b.norm());
    const double wide = outside::number(row[6]) > 180 ? 2 * base::kPi - sector : sector;
    EXPECT_NEAR(base::to_deg(wide), outside::number(row[6]), outside::number(row[8])) << row[0];
    EXPECT_NEAR(base::kPi * D / wide, outside::number(row[4]), outside::number(row[7]) * 60) << row[0];
    const Vec2 centre(0, outside::number(row[4]));
    for (std::size_t i = 0; i < flat.u.size(); ++i) {
      EXPECT_NEAR((flat.ring[i] - centre).norm(), outside::number(row[4]), outside::number(row[7])) << row[0];
      EXPECT_NEAR((flat.edge[i] - centre).norm(), outside::number(row[5]), outside::number(row[7])) << row[0];
    }
  }
}

}  // namespace
}  // namespace halfround::shape
