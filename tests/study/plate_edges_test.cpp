// Metal beside a plate's bores, by hand.
#include "study/plate_edges.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "base/maths.h"
#include "layout_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

using base::Vec2;
using base::Vec3;

/// A band 40 mm wide with round ends of 20 mm radius about (-30, 0) and (30, 0).
bike::Plate band(std::vector<bike::Bore> bores) {
  return bike::make_plate(
      "crown.upper"_part, base::Pose::Identity(),
      {{Vec2(-30, -20), 0}, {Vec2(30, -20), base::kPi}, {Vec2(30, 20), 0}, {Vec2(-30, 20), base::kPi}}, 8,
      std::move(bores));
}
BoreEdge one(const bike::Bore& bore) {
  bike::Assembly a;
  a.plates = {band({bore})};
  return bore_edges(a).at(0);
}

TEST(PlateEdges, AnUprightBoreKeepsWhatTheBandLeavesIt) {
  const BoreEdge straight = one({"steerer"_part, Vec2(0, 0), 28.6});
  EXPECT_NEAR(straight.metal, 20 - 14.3, 0.005);
  EXPECT_NEAR(straight.from_middle, 20, 1e-9);
  EXPECT_NEAR(straight.bolt_hole, 34.32, 1e-9);
  const BoreEdge in_the_arc = one({"blade.left"_part, Vec2(33, 4), 20});
  EXPECT_NEAR(in_the_arc.from_middle, 20 - 5, 1e-9);
  EXPECT_NEAR(in_the_arc.metal, 5, 0.005);
}

TEST(PlateEdges, ALeaningBoreCountsOnTheFaceWhereItComesNearest) {
  const double lean = base::to_rad(10);
  const bike::Bore bore{"blade.left"_part, Vec2(0, 0), 20, Vec3(0, std::sin(lean), std::cos(lean))};
  const BoreEdge e = one(bore);
  // on a face 4 mm off the middle the bore's middle has moved by 4 tan(lean), and it is 1/cos(lean) longer
  // there
  EXPECT_NEAR(e.from_middle, 20 - 4 * std::tan(lean), 1e-9);
  EXPECT_NEAR(e.metal, 20 - 4 * std::tan(lean) - 10 / std::cos(lean), 0.005);
  const bike::Bore upright{"blade.left"_part, Vec2(0, 0), 20};
  EXPECT_LT(e.metal, one(upright).metal);
}

// 2026-11-30: where a blade leans in its bore, a face had up to 1 mm less metal than the edge asked for.
TEST(PlateEdges, TheEdgeAskedForIsThereOnBothFaces) {
  double most_lean = 0;
  for (const double offset : {20.0, 44.0, 70.0}) {
    for (const double spacing : {104.0, 112.0, 122.0}) {
      for (const double thickness : {6.0, 8.0, 12.0}) {
        layout::Intent u = layout::plate_scene();
        u.offset = offset;
        auto& crown = std::get<layout::PlateCrown>(u.crown);
        crown.thickness = thickness, crown.edge = 7;
        u.wishes[0].value = spacing;
        const auto fork = layout::lay_out(u);
        ASSERT_TRUE(fork) << base::sentence(fork.error());
        for (const BoreEdge& e : bore_edges(fork->assembly)) {
          EXPECT_GE(e.metal, crown.edge - 0.005) << e.plate << ", " << e.takes << ", " << thickness << " mm";
          EXPECT_LT(e.metal, crown.edge + 5) << "the band is drawn tight";
        }
        for (const bike::Plate& p : fork->assembly.plates)
          for (const bike::Bore& b : p.bores) most_lean = std::max(most_lean, std::acos(b.axis.z()));
      }
    }
  }
  EXPECT_GT(most_lean, base::to_rad(9));
}

TEST(PlateEdges, OneLineAPlateForItsTightestBoreAndNoLimitNobodySet) {
  bike::Assembly a;
  a.plates = {band({{"steerer"_part, Vec2(0, 0), 28.6}, {"blade.left"_part, Vec2(33, 0), 30}})};
  const auto lines = verdicts(bore_edges(a));
  ASSERT_EQ(lines.size(), 1u);
  EXPECT_EQ(lines[0].where, "upper crown plate");
  EXPECT_NE(lines[0].what.find("left blade"), std::string::npos);
  EXPECT_NEAR(*lines[0].value, 2, 0.005);
  EXPECT_FALSE(lines[0].limit);
}

}  // namespace
}  // namespace halfround::study
