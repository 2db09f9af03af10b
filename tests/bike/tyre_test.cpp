#include "bike/tyre.h"

#include <gtest/gtest.h>

#include "shape/distance.h"

namespace halfround::bike {
namespace {

TEST(Tyre, ADesignationGivesTheEnvelopeOfTheStandard) {
  // overall diameter = bead seat + 2 x height, 2.5 mm more under 28 mm [encyclopaedia article on ISO 5775]
  const struct {
    const char* text;
    double overall;
  } rows[] = {{"23-622", 673}, {"25-622", 677}, {"28-622", 678},
              {"40-622", 702}, {"54-559", 667}, {"47-305", 399}};
  for (const auto& row : rows) {
    const auto tyre = tyre_from_designation(row.text, 0);
    ASSERT_TRUE(tyre) << row.text;
    EXPECT_DOUBLE_EQ(tyre->outside_diameter, row.overall) << row.text;
    EXPECT_TRUE(tyre->assumed);
  }
}

TEST(Tyre, AWideRimMakesItWiderNeverNarrower) {
  const double usual = tyre_from_designation("54-559", 29.7)->width;
  EXPECT_DOUBLE_EQ(usual, 54);
  EXPECT_NEAR(tyre_from_designation("54-559", 34.7)->width, 54 + 5 * 0.78, 1e-12);
  EXPECT_DOUBLE_EQ(tyre_from_designation("54-559", 19)->width, 54);
}

TEST(Tyre, AnythingElseIsRefusedWithAnExample) {
  for (const char* text :
       {"", "54", "54-", "-559", "54x559", "26 x 2.1", "5-559", "54-5590", "nan-559", "54-559 "}) {
    const auto tyre = tyre_from_designation(text, 0);
    ASSERT_FALSE(tyre) << text;
    EXPECT_EQ(tyre.error().code, "tyre-designation");
    EXPECT_NE(tyre.error().fits.find("54-559"), std::string::npos);
  }
}

TEST(Tyre, TheMeasuredProfileLiesOnItsSurface) {
  Tyre tyre;
  tyre.bead_seat = 559, tyre.outside_diameter = 665;
  tyre.half_profile = {{0, 0}, {12, 2.4}, {20, 8}, {25.5, 18}, {27, 26}, {25, 36}, {18, 46}};
  const shape::Tube surface = tyre_surface(tyre);
  for (const Vec2& p : tyre.half_profile) {
    for (const double side : {1.0, -1.0}) {
      const base::Vec3 q(tyre.outside_diameter / 2 - p.y(), side * p.x(), 0);
      EXPECT_NEAR(shape::level(surface, q).value, 0, 1e-9) << p.x();
      EXPECT_NEAR(shape::distance(surface, q).value, 0, 1e-6) << p.x();
    }
  }
}

}  // namespace
}  // namespace halfround::bike
