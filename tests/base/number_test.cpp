#include "base/number.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "base/result.h"

namespace halfround::base {
namespace {

TEST(Number, PrintsFixedDecimals) {
  EXPECT_EQ(fixed(28.6, 1), "28.6");
  EXPECT_EQ(fixed(28.6, 3), "28.600");
  EXPECT_EQ(fixed(-28.6, 0), "-29");
  EXPECT_EQ(fixed(1e15, 0), "1000000000000000");
  EXPECT_EQ(fixed(0.125, 2), "0.12");  // a tie goes to the even digit
}

TEST(Number, NeverPrintsMinusZero) {
  EXPECT_EQ(fixed(-0.0, 0), "0");
  EXPECT_EQ(fixed(-0.0004, 3), "0.000");
  EXPECT_EQ(shortest(-0.0), "0");
  EXPECT_EQ(format_number(-0.04, 1), "0.0");
}

TEST(Number, PrintsTheShortestTextThatReadsBack) {
  EXPECT_EQ(shortest(28.6), "28.6");
  EXPECT_EQ(shortest(-1.0), "-1");
  EXPECT_EQ(shortest(0.1 + 0.2), "0.30000000000000004");
  EXPECT_EQ(shortest(1e-7), "0.0000001");
  for (const double v :
       {std::numeric_limits<double>::max(), std::numeric_limits<double>::denorm_min(), -1.0 / 3}) {
    const auto text = shortest(v);
    EXPECT_EQ(text.find('e'), std::string::npos);
    EXPECT_EQ(read_number(text), v);
  }
}

TEST(Number, PrintsTheTypographicMinusForPeople) {
  EXPECT_EQ(format_number(-3.25, 2), "\u22123.25");
  EXPECT_EQ(format_number(3.25, 2), "3.25");
}

TEST(Number, ReadsOnlyPlainDecimals) {
  EXPECT_EQ(read_number("28.6"), 28.6);
  EXPECT_EQ(read_number("-0.5"), -0.5);
  for (const char* text :
       {"", "-", ".", "1e3", "0x1F", "nan", "inf", "28.6 ", " 28.6", "28,6", "1.2.3", "+1", "--1"})
    EXPECT_FALSE(read_number(text)) << text;
  EXPECT_FALSE(read_number(std::string(400, '9')));
}

TEST(Number, TakesNothingThatIsNoNumber) {
  EXPECT_THROW((void)fixed(std::nan(""), 1), Bug);
  EXPECT_THROW((void)shortest(INFINITY), Bug);
  EXPECT_THROW((void)fixed(1, -1), Bug);
  EXPECT_THROW((void)fixed(1, 18), Bug);
}

}  // namespace
}  // namespace halfround::base
