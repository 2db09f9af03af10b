// Where a function passes zero: whatever numbers come in, nothing is thrown.
#include "layout/root.h"

#include <gtest/gtest.h>

#include <limits>

namespace halfround::layout {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

std::optional<double> root(double a, double b, double fa, double fb) {
  return root_between([](double x) { return x - 2; }, a, b, fa, fb, 50, 60);
}

TEST(Root, IsFoundInEitherOrder) {
  EXPECT_NEAR(*root(0, 5, -2, 3), 2, 1e-12);
  EXPECT_NEAR(*root(5, 0, 3, -2), 2, 1e-12);
  EXPECT_EQ(*root(2, 5, 0, 3), 2);
  EXPECT_EQ(*root(0, 2, -2, 0), 2);
}

TEST(Root, OfTwoTinyValuesOfOneSignThereIsNone) {
  EXPECT_FALSE(passes_zero(1e-200, 1e-200));  // their product is zero
  EXPECT_FALSE(root(3, 5, 1e-200, 1e-200));
  EXPECT_TRUE(passes_zero(-1e-200, 1e-200));
}

TEST(Root, BetweenOnePlaceAndItselfNothingIsThrown) {
  EXPECT_EQ(*root(3, 3, -1, 1), 3);
  EXPECT_FALSE(root(3, 3, 1, 1));
}

TEST(Root, WhatIsNoNumberHasNone) {
  EXPECT_FALSE(root(0, 5, kNan, 3));
  EXPECT_FALSE(root(0, 5, -2, kNan));
  EXPECT_FALSE(root(kNan, 5, -2, 3));
  EXPECT_FALSE(root(0, kInf, -2, 3));
  EXPECT_NO_THROW((void)root(0, 5, -kInf, kInf));
  EXPECT_NO_THROW((void)root_between([](double) { return kNan; }, 0, 5, -1, 1, 50, 60));
}

}  // namespace
}  // namespace halfround::layout
