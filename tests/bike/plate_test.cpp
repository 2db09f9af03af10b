#include "bike/plate.h"

#include <gtest/gtest.h>

#include "bike/assembly.h"
#include "parts.h"

namespace halfround::bike {
namespace {

using base::kPi;

/// 40 long, 20 wide, both ends round, a round bore in each and a leaning one in the middle.
Plate link() {
  Pose X = Pose::Identity();
  X.linear() = Eigen::AngleAxisd(0.4, Vec3(1, 2, 3).normalized()).toRotationMatrix();
  X.translation() = Vec3(5, 30, -7);
  const Vec3 axis = Vec3(0.3, 0.1, 1).normalized();
  return make_plate("link.left"_part, X, {{{-20, -10}, 0}, {{20, -10}, kPi}, {{20, 10}, 0}, {{-20, 10}, kPi}},
                    6, {{"a"_part, {-20, 0}, 8}, {"blade.left"_part, {5, 1}, 9, axis}});
}

TEST(Plate, AreaIsThatOfARectangleAndTwoHalfCircles) {
  EXPECT_NEAR(area(link().corners), 40 * 20 + kPi * 100, 1e-9);
}

TEST(Plate, OutlineKeepsWithinTheChordOfItsArcs) {
  const Plate p = link();
  for (std::size_t i = 0; i < p.outline.size(); ++i) {
    const Vec3 q = p.X_FP.inverse() * p.outline[i],
               r = p.X_FP.inverse() * p.outline[(i + 1) % p.outline.size()];
    EXPECT_NEAR(q.z(), 0, 1e-12);
    const Vec3 middle = (q + r) / 2;
    if (middle.x() > 20) {
      EXPECT_NEAR((middle - Vec3(20, 0, 0)).norm(), 10, kOutlineChord);
    }
  }
}

TEST(Plate, ABoreAtALeanIsAnEllipseOnTheFaceAndAsMuchLonger) {
  const Plate p = link();
  const Bore& b = p.bores[1];
  for (const Vec2& q : bore_edge(b, 3, 24)) {
    const Vec3 d = Vec3(q.x() - b.at.x(), q.y() - b.at.y(), 3);
    EXPECT_NEAR((d - d.dot(b.axis) * b.axis).norm(), 4.5, 1e-12);
  }
  EXPECT_NEAR(bore_volume(p, b), kPi / 4 * 81 * 6 / b.axis.z(), 1e-12);
}

TEST(Plate, MirroredTwiceIsItselfAndOnceIsItsImage) {
  const Plate p = link(), m = mirrored(p), back = mirrored(m);
  EXPECT_NEAR(m.X_FP.linear().determinant(), 1, 1e-12);
  EXPECT_NEAR(area(m.corners), area(p.corners), 1e-9);
  const Vec3 at(p.bores[1].at.x(), p.bores[1].at.y(), 0), at_m(m.bores[1].at.x(), m.bores[1].at.y(), 0);
  EXPECT_NEAR((m.X_FP * at_m - Vec3(Vec3(1, -1, 1).cwiseProduct(p.X_FP * at))).norm(), 0, 1e-12);
  EXPECT_NEAR((m.X_FP.linear() * m.bores[1].axis -
               Vec3(Vec3(1, -1, 1).cwiseProduct(p.X_FP.linear() * p.bores[1].axis)))
                  .norm(),
              0, 1e-12);
  const Plate again = make_plate(m.part, m.X_FP, m.corners, m.thickness);
  ASSERT_EQ(again.outline.size(), m.outline.size());
  for (std::size_t i = 0; i < m.outline.size(); ++i)
    EXPECT_NEAR((again.outline[i] - m.outline[i]).norm(), 0, 1e-9) << i;
  for (std::size_t i = 0; i < p.outline.size(); ++i)
    EXPECT_NEAR((back.outline[i] - p.outline[i]).norm(), 0, 1e-12);
}

}  // namespace
}  // namespace halfround::bike
