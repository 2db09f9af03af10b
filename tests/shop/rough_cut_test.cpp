// The rough cut: nothing of the finished edge is ever cut, two planes come only where they are worth it, and
// no other pair leaves less to file.
#include "shop/rough_cut.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "parts.h"
#include "shop/least_over.h"
#include "shop_scene.h"

namespace halfround::shop {
namespace {

constexpr double kTurn = 2 * base::kPi;

// y = x^2 between -1 and 1: the line that touches both ends; y = x^3 between 0 and 1: the chord. By hand from
// the conditions of Karush, Kuhn and Tucker [derived].
TEST(LeastOver, AConvexCurveIsCoveredByItsChord) {
  constexpr Eigen::Index n = 201;
  Eigen::MatrixXd rows(n, 2);
  Eigen::VectorXd square(n), cube(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const double x = -1 + 2.0 * static_cast<double>(i) / (n - 1), half = 0.5 * (x + 1);
    rows.row(i) << 1, x;
    square(i) = x * x, cube(i) = half * half * half;
  }
  const Eigen::VectorXd a = least_over(rows, square), b = least_over(rows, cube);
  EXPECT_NEAR(a(0), 1, 1e-9);
  EXPECT_NEAR(a(1), 0, 1e-9);
  EXPECT_NEAR(b(0), 0.5, 1e-9);
  EXPECT_NEAR(b(1), 0.5, 1e-9);
}

/// Every end of the scenes and of a whole fork: square, aslant, tapered, oval, bent, wider than its target.
std::vector<std::pair<bike::Assembly, study::Mitre>> every_end() {
  std::vector<std::pair<bike::Assembly, study::Mitre>> out;
  for (const auto& scene : shape::mitre_scenes()) {
    const bike::Assembly a = one_joint(scene.member, scene.target);
    out.emplace_back(a, mitres_of(a).at(0));
  }
  const bike::Assembly fork = scene_fork();
  for (const study::Mitre& m : mitres_of(fork)) out.emplace_back(fork, m);
  return out;
}

/// What a rough cut keeps at a place across the tube, along the tube from the scribe line, from the leans and
/// heights that the saw is set by.
double kept(const RoughCut& cut, double x, double y) {
  double out = NAN;
  for (const SawPlane& p : cut.planes) {
    const double z = p.at_axis + std::tan(p.lean) * (std::cos(p.u_longest) * x + std::sin(p.u_longest) * y);
    out = std::isnan(out) ? z : cut.shape == RoughShape::notch ? std::max(out, z) : std::min(out, z);
  }
  return out;
}

TEST(RoughCut, TheSawNeverCutsIntoTheFinishedEdgeOutsideOrInside) {
  for (const auto& [assembly, m] : every_end()) {
    const bike::Member& member = *bike::find_member(assembly, m.member);
    const RoughCut cut = rough_cut(member, m);
    const shape::Frame f = member.tube.centreline.at(m.s_scribe);
    const double toward = m.end == bike::End::end ? 1 : -1;
    double least = INFINITY;
    for (const auto* edge : {&m.outer, &m.inner}) {
      for (const study::EdgePoint& p : *edge) {
        const Vec3 d = p.point - f.c;
        least = std::min(least, kept(cut, d.dot(f.m), d.dot(f.b)) - toward * d.dot(f.t));
      }
    }
    EXPECT_GE(least, 0.5 - 1e-6) << m.member << " onto " << m.onto;
    for (std::size_t i = 0; i < m.clock.size(); ++i) EXPECT_GE(cut.depth[i] - m.clock[i].outer, 0.5 - 1e-6);
  }
}

TEST(RoughCut, TwoPlanesComeOnlyWhereOneLeavesMuchAndTwoLeaveLess) {
  int pairs = 0;
  for (const auto& [assembly, m] : every_end()) {
    const RoughCut cut = rough_cut(*bike::find_member(assembly, m.member), m);
    if (cut.planes.size() == 1) {
      EXPECT_EQ(cut.most, cut.most_by_one);
      continue;
    }
    ++pairs;
    EXPECT_GT(cut.most_by_one, 3);
    EXPECT_LE(cut.most, cut.most_by_one - 1);
  }
  EXPECT_GT(pairs, 2);
}

// A 24 mm tube square on 28.6, by symmetry: a V along the other tube or a roof across it. On the wall, where
// x^2 + y^2 = 12^2, the roof's ridge runs through both ears. No worse than the V would be, which leaves what
// lies between an arc and its chord, 6.52/12 |y| - (14.3 - sqrt(14.3^2 - y^2)) [derived].
TEST(RoughCut, OnASquareSaddleTheTwoPlanesAreAlikeAndLeaveLessThanTheChordOfTheArc) {
  const auto scene = shape::straight_scene("square", shape::Profile::round(24, 0.9), 90, 0);
  const bike::Assembly a = one_joint(scene.member, scene.target);
  const study::Mitre m = mitres_of(a).at(0);
  const RoughCut cut = rough_cut(a.members[0], m);
  ASSERT_EQ(cut.planes.size(), 2u);
  EXPECT_NEAR(cut.planes[0].lean, cut.planes[1].lean, base::to_rad(0.5));
  EXPECT_NEAR(std::abs(std::remainder(cut.planes[0].u_longest - cut.planes[1].u_longest, kTurn)), base::kPi,
              base::to_rad(0.5));
  EXPECT_NEAR(std::abs(std::remainder(cut.u_meet[0] - cut.u_meet[1], kTurn)), base::kPi, base::to_rad(1));
  double most = 0;
  const double ear = 14.3 - std::sqrt(14.3 * 14.3 - 144);
  for (double y = 0; y <= 12; y += 0.1)
    most = std::max(most, ear / 12 * y - (14.3 - std::sqrt(14.3 * 14.3 - y * y)));
  EXPECT_LT(cut.most, most + 0.5 + 0.1);
  EXPECT_LT(cut.most, 0.5 * cut.most_by_one);
}

double squares(const study::Mitre& m, const bike::Member& member, const auto& z) {
  const shape::Frame f = member.tube.centreline.at(m.s_scribe);
  const double toward = m.end == bike::End::end ? 1 : -1;
  double sum = 0;
  for (const auto* edge : {&m.outer, &m.inner}) {
    for (const study::EdgePoint& p : *edge) {
      const Vec3 d = p.point - f.c;
      const double over = z(d.dot(f.m), d.dot(f.b)) - toward * d.dot(f.t) - 0.5;
      if (over < -1e-6) return INFINITY;
      sum += over * over;
    }
  }
  return sum;
}

// 2026-12-01: of two like blades one was sawn by two planes, the other by one that left 52 mm to file.
TEST(RoughCut, LeftAndRightOfAForkAreSawnAlike) {
  int pairs = 0;
  for (const double angle : {1.0, 1.1, 1.19, 1.25}) {
    for (const double height : {30.0, 34.0, 38.0}) {
      layout::Intent u = layout::scene();
      u.left.runs[1] = {75 * angle, angle, bike::kInward};
      u.left.stock_length = 520;
      u.wishes[1].value = height;
      const auto fork = layout::lay_out(u);
      if (!fork) continue;
      const auto cuts = mitres_of(fork->assembly);
      for (const study::Mitre& left : cuts) {
        if (left.member != "blade.left"_part) continue;
        const auto right = std::ranges::find_if(
            cuts, [&](const study::Mitre& m) { return m.member == "blade.right"_part && m.end == left.end; });
        const RoughCut a = rough_cut(*bike::find_member(fork->assembly, left.member), left),
                       b = rough_cut(*bike::find_member(fork->assembly, right->member), *right);
        ASSERT_EQ(a.planes.size(), b.planes.size()) << angle << ", " << height;
        EXPECT_NEAR(a.most, b.most, 1)
            << angle << ", " << height;  // the least squares are nearly level there
        pairs += a.planes.size() == 2;
      }
    }
  }
  EXPECT_GT(pairs, 3);
}

TEST(RoughCut, NoPairDrawnAtRandomLeavesLessToFile) {
  std::mt19937 draw(17);
  std::uniform_real_distribution<double> any(-1, 1);
  for (const auto& [assembly, m] : every_end()) {
    const bike::Member& member = *bike::find_member(assembly, m.member);
    const RoughCut cut = rough_cut(member, m);
    if (cut.planes.size() < 2) continue;
    const double ours = squares(m, member, [&](double x, double y) { return kept(cut, x, y); });
    ASSERT_TRUE(std::isfinite(ours));
    for (int i = 0; i < 400; ++i) {
      // near ours, so that a better neighbour would be met
      RoughCut other = cut;
      const double far = i % 2 == 0 ? 0.02 : 0.3;
      for (SawPlane& p : other.planes) {
        p.lean = std::max(0.0, p.lean + far * any(draw)), p.u_longest += far * any(draw);
        p.at_axis += 5 * far * any(draw);
      }
      const double theirs = squares(m, member, [&](double x, double y) { return kept(other, x, y); });
      // on a bend ours was lifted a little more, so that it leaves half a mm along the surface too
      const double least = member.tube.centreline.straight() ? 0.97 : 0.85;
      EXPECT_GE(theirs, least * ours) << m.member << " onto " << m.onto;
    }
  }
}

}  // namespace
}  // namespace halfround::shop
