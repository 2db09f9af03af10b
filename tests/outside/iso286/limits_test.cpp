// Limits of fits against (1) the table of FreeCAD's TechDraw workbench, which somebody else typed from the
// standard (TaskHoleShaftFit.py, class ISO286: upper deviations of f, g, h, k6, n6 and F8, G7 in um, and IT6
// to IT11), and (2) the formulas the standard's values were rounded from.
#include <gtest/gtest.h>

#include <cmath>

#include "shop/fits.h"

namespace halfround::shop {
namespace {

constexpr double kSizes[] = {3, 6, 10, 14, 18, 24, 30, 40, 50};  // FreeCAD's finer steps, upper ends

void expect_upper(const char* tolerance_class, const int (&um)[9]) {
  for (int i = 0; i < 9; ++i) {
    const auto got = fit_limits(tolerance_class, kSizes[i]);
    ASSERT_TRUE(got) << tolerance_class;
    EXPECT_NEAR(got->upper * 1000, um[i], 1e-9) << tolerance_class << " " << kSizes[i];
  }
}

TEST(Iso286, UpperDeviationsAreThoseOfFreeCad) {
  expect_upper("f7", {-6, -10, -13, -16, -16, -20, -20, -25, -25});
  expect_upper("g6", {-2, -4, -5, -6, -6, -7, -7, -9, -9});
  expect_upper("h6", {0, 0, 0, 0, 0, 0, 0, 0, 0});
  expect_upper("k6", {6, 9, 10, 12, 12, 15, 15, 18, 18});
  expect_upper("n6", {10, 16, 19, 23, 23, 28, 28, 33, 33});
  expect_upper("F8", {20, 28, 35, 43, 43, 53, 53, 64, 64});
  expect_upper("G7", {12, 16, 20, 24, 24, 28, 28, 34, 34});
}

TEST(Iso286, StandardTolerancesAreThoseOfFreeCad) {
  const int it[6][9] = {{6, 8, 9, 11, 11, 13, 13, 16, 16},      {10, 12, 15, 18, 18, 21, 21, 25, 25},
                        {14, 18, 22, 27, 27, 33, 33, 39, 39},   {25, 30, 36, 43, 43, 52, 52, 62, 62},
                        {40, 48, 58, 70, 70, 84, 84, 100, 100}, {60, 75, 90, 110, 110, 130, 130, 160, 160}};
  for (int grade = 6; grade <= 11; ++grade) {
    for (int i = 0; i < 9; ++i) {
      const auto hole = fit_limits("H" + std::to_string(grade), kSizes[i]);
      ASSERT_TRUE(hole);
      EXPECT_EQ(hole->lower, 0);
      EXPECT_NEAR(hole->upper * 1000, it[grade - 6][i], 1e-9) << grade << " " << kSizes[i];
    }
  }
}

// i = 0.45 D^(1/3) + 0.001 D um; IT6 10 i, IT7 16 i, IT8 25 i, IT9 40 i, IT10 64 i, IT11 100 i; D the
// geometric mean of the step's ends [from memory: ISO 286-1, the formulas of its annex]. The standard rounds
// them, the first step most freely.
TEST(Iso286, StandardTolerancesFollowTheirFormula) {
  const double ends[] = {3, 6, 10, 18, 30, 50}, times[] = {10, 16, 25, 40, 64, 100};
  for (int i = 0; i < 5; ++i) {
    const double d = std::sqrt(ends[i] * ends[i + 1]), unit = 0.45 * std::cbrt(d) + 0.001 * d;
    for (int g = 0; g < 6; ++g) {
      const auto hole = fit_limits("H" + std::to_string(6 + g), ends[i + 1]);
      ASSERT_TRUE(hole);
      // rounded to the micrometre below 60, to 5 and 10 above; 3 % for its own preferred figures
      EXPECT_NEAR(hole->upper * 1000, times[g] * unit, 0.6 + 0.03 * times[g] * unit)
          << 6 + g << " " << ends[i + 1];
    }
  }
}

// es: d -16 D^0.44, e -11 D^0.41, f -5.5 D^0.41, g -2.5 D^0.34; ei: n +5 D^0.34, m +(IT7 - IT6) [from memory:
// as above]
TEST(Iso286, DeviationsFollowTheirFormulas) {
  const double ends[] = {3, 6, 10, 18, 30, 50};
  for (int i = 0; i < 5; ++i) {
    const double d = std::sqrt(ends[i] * ends[i + 1]), size = ends[i + 1];
    EXPECT_NEAR(fit_limits("d9", size)->upper * 1000, -16 * std::pow(d, 0.44), 1.5);
    EXPECT_NEAR(fit_limits("e8", size)->upper * 1000, -11 * std::pow(d, 0.41), 1);
    EXPECT_NEAR(fit_limits("f7", size)->upper * 1000, -5.5 * std::pow(d, 0.41), 1);
    EXPECT_NEAR(fit_limits("g6", size)->upper * 1000, -2.5 * std::pow(d, 0.34), 1);
    EXPECT_NEAR(fit_limits("n6", size)->lower * 1000, 5 * std::pow(d, 0.34), 1);
    EXPECT_NEAR(fit_limits("m6", size)->lower * 1000,
                (fit_limits("H7", size)->upper - fit_limits("H6", size)->upper) * 1000, 0.1);
  }
}

TEST(Iso286, WhatIsNotInTheTableIsSaid) {
  EXPECT_EQ(fit_limits("H7", 60).error().code, "fit-size-outside");
  EXPECT_EQ(fit_limits("H7", 0).error().code, "fit-size-outside");
  EXPECT_EQ(fit_limits("H7", NAN).error().code, "fit-size-outside");
  for (const char* odd : {"", "H", "7", "H99", "Q7", "k9", "H7x", "P7", "hh6"}) {
    EXPECT_EQ(fit_limits(odd, 12).error().code, "fit-class-unknown") << odd;
  }
}

// worked fit of any machinist's table: 12 H7/g6 is a sliding fit with 6 to 35 um [derived from the two rows]
TEST(Iso286, AWorkedFit) {
  const Clearance c = clearance(*fit_limits("H7", 12), *fit_limits("g6", 12));
  EXPECT_NEAR(c.least, 0.006, 1e-12);
  EXPECT_NEAR(c.most, 0.035, 1e-12);
}

}  // namespace
}  // namespace halfround::shop
