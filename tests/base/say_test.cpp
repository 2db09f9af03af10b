#include "base/say.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

namespace halfround::base {
namespace {

TEST(Say, ANumberThatRoundsToNothingHasNoMinus) {
  EXPECT_EQ(say("{:.1f} mm, {:.0f}°, {:.2f}", -0.04, -0.4, -0.004), "0.0 mm, 0°, 0.00");
  EXPECT_EQ(say("{:.1f} of {} {}", -1.25, 3, std::string("blades")), "-1.2 of 3 blades");
  EXPECT_EQ(say("{} mm", 28.6), "28.6 mm");
  EXPECT_EQ(say("{:.1f}", std::numeric_limits<double>::infinity()), "infinite");
}

// 2026-11-30: "only 4.0 mm are left of the 4.0 mm of metal asked for"
TEST(Say, TwoNumbersThatDifferLookDifferent) {
  const Apart close = apart(3.97, 4);
  EXPECT_EQ(close.first, "3.97");
  EXPECT_EQ(close.second, "4.00");
  EXPECT_EQ(apart(3.6, 4).first, "3.6");
  EXPECT_EQ(apart(3.9996, 4).first, "3.9996");
  EXPECT_EQ(apart(4, 4).first, "4.0");  // the same stays the same
  EXPECT_EQ(apart(-0.001, 0).first, "-0.001");
}

TEST(Say, AnAmountThatIsThereIsNotToldAsNothing) {
  EXPECT_EQ(amount(0.04), "0.04");
  EXPECT_EQ(amount(1.26), "1.3");
  EXPECT_EQ(amount(-0.004), "-0.004");
  EXPECT_EQ(amount(0), "0.0");
}

TEST(Say, WhatIsOfferedInsteadOfALimitIsOnTheGoodSideOfIt) {
  EXPECT_EQ(below(12.7), 12.6);
  EXPECT_EQ(below(12.65), 12.6);
  EXPECT_EQ(below(0.3), 0.2);
  EXPECT_EQ(below(0.1 + 0.2), 0.2);
  EXPECT_EQ(above(311), 311.1);
  EXPECT_EQ(above(14.287), 14.3);
  EXPECT_EQ(above(-0.05), 0.0);
  for (int i = 1; i < 4000; ++i) {
    const double limit = 0.0317 * i;
    EXPECT_LT(below(limit), limit);
    EXPECT_GT(below(limit), limit - 0.1 - 1e-9);
    EXPECT_GT(above(limit), limit);
    EXPECT_LT(above(limit), limit + 0.1 + 1e-9);
  }
}

}  // namespace
}  // namespace halfround::base
