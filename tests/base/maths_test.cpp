#include "base/maths.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfround::base {
namespace {

using namespace literals;

TEST(UnitAt, IsExactAtTheQuarterTurns) {
  const Vec2 exact[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
  for (int quarter = -9; quarter <= 9; ++quarter) {
    const Vec2 wanted = exact[((quarter % 4) + 4) % 4];
    EXPECT_EQ(unit_at(quarter * (kPi / 2)), wanted) << quarter;
    EXPECT_EQ(unit_at(to_rad(90.0 * quarter)), wanted) << quarter;
  }
}

TEST(UnitAt, FollowsCosineAndSineElsewhere) {
  for (double u = -7; u < 7; u += 0.37) {
    EXPECT_EQ(unit_at(u), Vec2(std::cos(u), std::sin(u)));
    EXPECT_NEAR(unit_at(u).norm(), 1, 1e-15);
  }
}

TEST(Literals, AreInHouseUnits) {
  EXPECT_EQ(28.6_mm, 28.6);
  EXPECT_EQ(1_in, 25.4);
  EXPECT_DOUBLE_EQ(1.125_in, 28.575);
  EXPECT_DOUBLE_EQ(180_deg, kPi);
  EXPECT_DOUBLE_EQ(to_deg(72.5_deg), 72.5);
}

}  // namespace
}  // namespace halfround::base
