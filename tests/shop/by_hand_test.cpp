// Hacksaw and file: the saw line never cuts into the wanted edge, the steps follow from deep to shallow.
#include "shop/by_hand.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "shop_scene.h"
#include "parts.h"

namespace halfround::shop {
namespace {

HandPlan plan_of(const shape::MitreScene& scene, const Shop& shop = scene_shop()) {
  const bike::Assembly a = one_joint(scene.member, scene.target);
  return by_hand(a, mitres_of(a).at(0), shop);
}

TEST(ByHand, TheSawLeavesEverythingThatIsWanted) {
  for (const auto& scene : shape::mitre_scenes()) {
    const HandPlan p = plan_of(scene);
    ASSERT_EQ(p.rows.size(), 24u);
    double least = INFINITY;
    for (const HandRow& row : p.rows) least = std::min(least, row.take_off);
    EXPECT_GE(least, 0.5 - 1e-6) << scene.name;
    EXPECT_LT(least, 1.5) << scene.name;  // the inner edge may stand out farther
  }
}

TEST(ByHand, AShallowSaddleIsSawnSquareAndHasTwoHollows) {
  const HandPlan p = plan_of(shape::straight_scene("square", shape::Profile::round(16, 0.9), 90, 0));
  ASSERT_EQ(p.saw.planes.size(), 1u);
  EXPECT_NEAR(p.saw.planes[0].lean, 0, 1e-6);
  ASSERT_EQ(p.steps.size(), 4u);
  // r - sqrt(r^2 - y^2) at y = 8: how deep the hollow lies below the ears the saw line touches
  EXPECT_NEAR(p.steps[1].most, 14.3 - std::sqrt(14.3 * 14.3 - 64) + 0.5, 1e-6);
  EXPECT_NEAR(p.steps[2].most, p.steps[1].most, 1e-6);
  EXPECT_EQ(p.file_radius, 14);
  EXPECT_EQ(p.steps[1].file, "big half-round");
}

TEST(ByHand, ADeepSaddleIsSawnTwice) {
  const HandPlan p = plan_of(shape::straight_scene("square", shape::Profile::round(24, 0.9), 90, 0));
  ASSERT_EQ(p.saw.planes.size(), 2u);
  EXPECT_EQ(p.steps[0].file, "hacksaw");
  EXPECT_EQ(p.steps[1].file, "hacksaw");
  EXPECT_NE(p.steps[0].what.find("Go right through"), std::string::npos) << p.steps[0].what;
  double most = 0;
  for (const HandRow& row : p.rows) most = std::max(most, row.take_off);
  EXPECT_LT(most, 4);
}

TEST(ByHand, AfterTheMillOnlyWhatRunsPastIsLeftToFile) {
  const HandPlan p = plan_of(shape::wide_scene());
  for (const FilingStep& s : p.steps) EXPECT_EQ(s.after_mill, s.what.find("runs past") != std::string::npos);
  EXPECT_EQ(std::ranges::count_if(p.steps, &FilingStep::after_mill), 1);
  const HandPlan all = plan_of(shape::round_scene());
  EXPECT_EQ(std::ranges::count_if(all.steps, &FilingStep::after_mill), 0);
}

TEST(ByHand, ASlantingTubeIsSawnAslant) {
  // nothing but the slant: a thin tube at 60 degrees on a big one is cut nearly in a plane
  const HandPlan p = plan_of(shape::straight_scene("aslant", shape::Profile::round(6, 0.5), 60, 0));
  EXPECT_NEAR(p.saw.planes[0].lean, base::to_rad(30), base::to_rad(1));
}

TEST(ByHand, WhatPassesBesideIsFiledFlatAfterTheHollows) {
  const HandPlan p = plan_of(shape::wide_scene());
  const auto flat =
      std::find_if(p.steps.begin(), p.steps.end(), [](const FilingStep& s) { return s.file == "flat"; });
  ASSERT_NE(flat, p.steps.end());
  EXPECT_GT(flat->to, flat->from);
  EXPECT_EQ(p.steps.front().file, "hacksaw");
}

TEST(ByHand, WithoutFilesThePlanStandsAndNamesNone) {
  const HandPlan p = plan_of(shape::round_scene(), {});
  EXPECT_EQ(p.file_radius, 0);
  EXPECT_TRUE(p.steps.back().file.empty());
}

}  // namespace
}  // namespace halfround::shop
