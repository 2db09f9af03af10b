// Trails of bicycles that others measured.
#include <gtest/gtest.h>

#include "base/maths.h"
#include "bike/steering.h"
#include "outside/table.h"

namespace halfround {
namespace {

TEST(MeasuredBicycles, TrailsAreThePublishedOnes) {
  const auto rows = outside::table("measured_bicycles/trails.tsv");
  ASSERT_EQ(rows.size(), 6U);
  for (const auto& row : rows) {
    const double radius = outside::number(row[3]) / (2 * base::kPi * outside::number(row[4]));
    const double found = bike::trail(base::to_rad(outside::number(row[1])), outside::number(row[2]), radius);
    EXPECT_NEAR(found, outside::number(row[5]), outside::number(row[6])) << row[0];
  }
}

/// The benchmark bicycle of Meijaard, Papadopoulos, Ruina and Schwab 2007: trail 80 mm, axis tilted by pi/10,
/// wheel radius 350 mm. Normal trail, flop and the offset follow. [derived]
TEST(MeasuredBicycles, TheBenchmarkBicycleHasEightyMillimetres) {
  const double head = base::kPi / 2 - base::kPi / 10, offset = 32.0714;
  EXPECT_NEAR(bike::trail(head, offset, 350), 80, 1e-3);
  EXPECT_NEAR(bike::normal_trail(head, offset, 350), 76.085, 1e-3);
  EXPECT_NEAR(bike::wheel_flop(head, offset, 350), 23.511, 1e-3);
}

}  // namespace
}  // namespace halfround
