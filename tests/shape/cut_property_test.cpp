// What must hold for any mitre and any template: moved, mirrored, reversed, developed and measured again.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "mitre_scene.h"
#include "shape/unroll.h"

namespace halfround::shape {
namespace {

double in_range(double lo, double hi) {
  return lo + (hi - lo) * *rc::gen::inRange(0, 10001) / 10000.0;
}

/// Any tube a builder might bring, at any angle and offset that still meets the steerer.
MitreScene any_scene() {
  const double width = in_range(14, 34), depth = in_range(14, 34), angle = in_range(40, 90),
               offset = in_range(-7, 7);
  const Profile oval({{0, width, depth, 0.9, nullptr}});
  const Profile taper({{0, 16, 16, 0.9, nullptr}, {345, width, depth, 0.9, nullptr}});
  switch (*rc::gen::inRange(0, 3)) {
    case 0:
      return straight_scene("any oval", oval, angle, offset);
    case 1:
      return straight_scene("any taper", taper, angle, offset);
    default:
      return bent_scene("any bent", taper, std::max(60.0, angle), offset);
  }
}

/// Furthest any point of `a` lies from the polyline through `b`, mm; jumps at turning points belong to both.
double apart(const std::vector<Vec3>& a, const std::vector<Vec3>& b) {
  double worst = 0;
  for (const Vec3& p : a) {
    double best = INFINITY;
    for (std::size_t i = 0; i < b.size(); ++i) {
      const Vec3 &q = b[i], d = b[(i + 1) % b.size()] - q;
      const double x = d.squaredNorm() > 0 ? std::clamp((p - q).dot(d) / d.squaredNorm(), 0.0, 1.0) : 0;
      best = std::min(best, (p - q - x * d).norm());
    }
    worst = std::max(worst, best);
  }
  return worst;
}
std::vector<Vec3> points_of(const Cut& cut, const Pose& X = Pose::Identity()) {
  std::vector<Vec3> out;
  for (const CutPoint& q : cut.points) out.push_back(X * q.p);
  return out;
}

RC_GTEST_PROP(CutProperty, MovingBothTubesMovesTheCut, ()) {
  const MitreScene scene = any_scene();
  Pose X = Pose::Identity();
  X.rotate(Eigen::AngleAxisd(in_range(-3, 3), Vec3(in_range(-1, 1), in_range(-1, 1), 1.1).normalized()));
  X.translation() = Vec3(in_range(-300, 300), in_range(-300, 300), in_range(-300, 300));
  const auto here = cut(scene.member, scene.target, scene.search);
  const auto there = cut(scene.member.moved(X), scene.target.moved(X), scene.search);
  RC_PRE(here.has_value());
  RC_ASSERT(there.has_value());
  RC_ASSERT(std::abs(here->passed_by - there->passed_by) < 1e-6);
  // base generators are the same ones: their depths are equal, not only near
  std::size_t j = 0;
  for (const CutPoint& q : here->points) {
    while (j < there->points.size() && there->points[j].u < q.u - 1e-9) ++j;
    if (j == there->points.size() || std::abs(there->points[j].u - q.u) > 1e-9) continue;
    if (there->points[j].met != q.met) continue;
    RC_ASSERT(std::abs(there->points[j].s - q.s) < 1e-5);
  }
  RC_ASSERT(apart(points_of(*here, X), points_of(*there)) < 2 * kChordTol);
}

RC_GTEST_PROP(CutProperty, MirroringGivesTheMirroredCut, ()) {
  const MitreScene scene = any_scene();
  const auto left = cut(scene.member, scene.target, scene.search);
  const auto right = cut(scene.member.mirrored(), scene.target.mirrored(), scene.search);
  RC_PRE(left.has_value());
  RC_ASSERT(right.has_value());
  RC_ASSERT(std::abs(left->passed_by - right->passed_by) < 1e-6);
  std::vector<Vec3> mirrored = points_of(*right);
  for (Vec3& p : mirrored) p.y() = -p.y();
  RC_ASSERT(apart(points_of(*left), mirrored) < 2 * kChordTol);
}

/// A tube walked from its other end and reversed twice is the same tube.
RC_GTEST_PROP(CutProperty, ReversingTheMemberTwiceChangesNothing, ()) {
  const MitreScene scene = any_scene();
  const auto once = cut(scene.member, scene.target, scene.search);
  const auto twice = cut(scene.member.reversed().reversed(), scene.target.reversed(), scene.search);
  RC_PRE(once.has_value());
  RC_ASSERT(twice.has_value());
  RC_ASSERT(apart(points_of(*once), points_of(*twice)) < 2 * kChordTol);
}

/// More stations that say the same thing say nothing new.
RC_GTEST_PROP(CutProperty, StationsInBetweenAStraightTaperChangeNothing, ()) {
  const double width = in_range(14, 30), depth = in_range(14, 26), at = in_range(0.1, 0.9);
  const auto between = [&](double a, double b) { return a + at * (b - a); };
  const Profile two({{0, 16, 16, 1, nullptr}, {340, width, depth, 1, nullptr}});
  const Profile three({{0, 16, 16, 1, nullptr},
                       {340 * at, between(16, width), between(16, depth), 1, nullptr},
                       {340, width, depth, 1, nullptr}});
  const MitreScene a = straight_scene("two", two, 75, 1), b = straight_scene("three", three, 75, 1);
  const auto one = cut(a.member, a.target, a.search), other = cut(b.member, b.target, b.search);
  RC_PRE(one.has_value());
  RC_ASSERT(other.has_value());
  RC_ASSERT(apart(points_of(*one), points_of(*other)) < 1.5 * kChordTol);
}

/// Chord against curve where it is hardest: the ends of a partial mitre.
RC_GTEST_PROP(CutProperty, ChordsStayWithinToleranceUpToTheTurningPoints, ()) {
  const MitreScene scene = any_scene();
  const auto found = cut(scene.member, scene.target, scene.search);
  RC_PRE(found.has_value());
  const auto& p = found->points;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const CutPoint &a = p[i], &b = p[(i + 1) % p.size()];
    RC_ASSERT(i + 1 == p.size() || a.u <= b.u);
    if (!a.met || !b.met) continue;
    if ((a.p - b.p).norm() > 5) continue;  // a jump from one branch to another is no chord
    const Vec3 middle = 0.5 * (a.p + b.p);
    const double off =
        std::max(std::abs(level(scene.target, middle).value), std::abs(level(scene.member, middle).value));
    RC_ASSERT(off < kChordTol * level_slope_bound(scene.member));  // a level is no exact distance
  }
}

RC_GTEST_PROP(UnrollProperty, ARoundTubesTemplateIsAsWideAsPaperRoundIt, ()) {
  const double diameter = in_range(12, 26), paper = in_range(0, 0.3);
  const MitreScene scene = straight_scene("round", Profile::round(diameter, 1), in_range(50, 90), 0);
  const auto found = cut(scene.member, scene.target, scene.search);
  RC_ASSERT(found.has_value());
  const Unrolled flat = unroll(scene.member, *found, {.s_scribe = 230, .paper = paper});
  RC_ASSERT(std::abs(flat.ring.back().x() - flat.ring.front().x() - base::kPi * (diameter + paper)) < 1e-6);
  for (std::size_t i = 0; i < flat.u.size(); ++i) {
    RC_ASSERT(std::abs(flat.ring[i].y()) < 1e-9);
    RC_ASSERT(std::abs(flat.ring[i].x() - flat.u[i] * (diameter + paper) / 2) < 1e-6);
    RC_ASSERT(std::abs(flat.edge[i].x() - flat.ring[i].x()) < 1e-9);
  }
  RC_ASSERT(flat.error < 1e-2);
}

RC_GTEST_PROP(UnrollProperty, AConesRingIsAnArcOfItsSector, ()) {
  const double small = in_range(10, 18), big = in_range(19, 27);
  const Profile cone({{0, small, small, 1, nullptr}, {340, big, big, 1, nullptr}});
  const MitreScene scene = straight_scene("cone", cone, in_range(60, 90), 0);
  const auto found = cut(scene.member, scene.target, scene.search);
  RC_ASSERT(found.has_value());
  const Unrolled flat = unroll(scene.member, *found, {.s_scribe = 230, .paper = 0});
  const double slope = (big - small) / 2 / 340, r = small / 2 + slope * 230;
  const double radius = r * std::hypot(1, slope) / slope, sector = 2 * base::kPi * r / radius;
  // the centre lies behind the ring: the paper opens toward the wide end
  for (std::size_t i = 0; i < flat.u.size(); ++i) {
    RC_ASSERT(std::abs((flat.ring[i] - Vec2(0, -radius)).norm() - radius) < 2e-3);
  }
  const Vec2 a = flat.ring.front() - Vec2(0, -radius), b = flat.ring.back() - Vec2(0, -radius);
  const double found_sector =
      std::abs(std::remainder(std::atan2(a.y(), a.x()) - std::atan2(b.y(), b.x()), 2 * base::kPi));
  RC_ASSERT(std::abs(found_sector - sector) < 1e-4);
}

/// Every generator keeps its length, whatever the tube; on a straight tube the cut keeps its own length as
/// well.
RC_GTEST_PROP(UnrollProperty, GeneratorsKeepTheirLength, ()) {
  const MitreScene scene = any_scene();
  const auto found = cut(scene.member, scene.target, scene.search);
  RC_PRE(found.has_value());
  double first = INFINITY;
  for (const CutPoint& q : found->points) first = std::min(first, q.s);
  const double scribe = first - 20;
  const Unrolled flat = unroll(scene.member, *found, {.s_scribe = scribe, .paper = 0.1});
  RC_ASSERT(flat.u.size() == found->points.size() + 1);
  const std::size_t middle =
      static_cast<std::size_t>(std::find(flat.u.begin(), flat.u.end(), 0.0) - flat.u.begin());
  for (std::size_t i = middle; i < flat.u.size(); ++i) {
    const CutPoint& q = found->points[i - middle];
    const double length = generator_length(scene.member, q.e, scribe, q.s);
    RC_ASSERT(std::abs((flat.edge[i] - flat.ring[i]).norm() - length) < 1e-9);
  }
}

}  // namespace
}  // namespace halfround::shape
