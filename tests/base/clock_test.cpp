#include "base/clock.h"

#include <gtest/gtest.h>

#include "base/maths.h"

namespace halfround::base {
namespace {

TEST(Clock, NoClockAngleIsMinusNothingOrAWholeTurn) {
  for (const double deg : {0.0, -0.0, -1e-12, -0.4, 359.6, 359.9999, 360.0, 720.0, -360.0, 1e-12})
    EXPECT_EQ(format_clock(to_rad(deg)), "0°") << deg;
  EXPECT_EQ(format_clock(to_rad(359.4)), "359°");
  EXPECT_EQ(format_clock(to_rad(-15)), "345°");
  EXPECT_EQ(format_clock(to_rad(374.9)), "15°");
  EXPECT_EQ(format_clock(to_rad(359.96), 1), "0.0°");
  EXPECT_EQ(format_clock(to_rad(359.94), 1), "359.9°");
}

}  // namespace
}  // namespace halfround::base
