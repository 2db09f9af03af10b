#include "base/plain.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "base/quantity.h"
#include "base/spelling.h"

namespace halfround::base {
namespace {

TEST(Plain, EveryNumberThatIsSaidCanBeTypedBack) {
  for (const double v : {39500000.0, 1e6, 123456.0, 28.6, 0.00002, 1e-7, -39500000.0, 0.0}) {
    const std::string said = plain(v);
    EXPECT_EQ(said.find('e'), std::string::npos) << said;
    const auto back = parse_quantity(said, Kind::length);
    ASSERT_TRUE(back) << said;
    EXPECT_NEAR(back->value, v, 1e-5 * std::abs(v)) << said;
  }
  EXPECT_EQ(plain(39500000), "39500000");
  EXPECT_EQ(plain(28.6), "28.6");
  EXPECT_EQ(plain(-0.0), "0");
  EXPECT_EQ(plainly("Found {} mm on {}.", 39500000.0, "a blade"), "Found 39500000 mm on a blade.");
}

TEST(Spelling, TheNearestWordIsNamedAndAStrangeOneIsNot) {
  const std::vector<std::string> known{"make", "check", "solve", "replan"};
  EXPECT_EQ(nearest_word(known, "chek"), "check");
  EXPECT_EQ(nearest_word(known, "replann"), "replan");
  EXPECT_EQ(nearest_word(known, "polymerise"), "");
}

}  // namespace
}  // namespace halfround::base
