#include "study/clearance.h"

#include <gtest/gtest.h>

#include "layout_scene.h"
#include "parts.h"
#include "shape/separation.h"

namespace halfround::study {
namespace {

using base::Pose;

const layout::Fork& fork() {
  static const layout::Fork f = *layout::lay_out(layout::scene());
  return f;
}

ClearanceOptions everything() {
  ClearanceOptions o;
  o.over_locknut = 100, o.axle_diameter = 12;
  o.rim = Rim{.bead_seat = 559, .inside_width = 25};
  o.rotor = Rotor{.diameter = 160};
  o.calliper = Calliper{};
  return o;
}

const ClearanceItem* find(const Clearance& c, std::string_view body, const bike::Part& member) {
  for (const ClearanceItem& i : c.items) {
    if (i.body.name == body && i.member == member) return &i;
  }
  return nullptr;
}

TEST(Clearance, MeetsTheWishTheForkWasLaidOutFor) {
  const Clearance c = clearance(fork().assembly, {});
  ASSERT_FALSE(c.items.empty());
  const ClearanceItem* left = find(c, "tyre", "blade.left"_part);
  ASSERT_TRUE(left);
  EXPECT_NEAR(left->value, 8, 1e-6);
  EXPECT_LE(left->at_least, left->value);
  EXPECT_GT(left->at_least, left->value - 0.0101);
  EXPECT_NEAR((left->on_member - left->on_body).norm(), left->value, 1e-9);
  EXPECT_NEAR(find(c, "tyre", "blade.right"_part)->value, left->value, 1e-9);
}

TEST(Clearance, EveryMemberIsCheckedAgainstEveryKnownPart) {
  const Clearance c = clearance(fork().assembly, everything());
  for (const bike::Member& m : fork().assembly.members) {
    for (const char* body : {"tyre", "rim", "rotor", "calliper"})
      EXPECT_TRUE(find(c, body, m.part)) << body << m.part;
  }
  EXPECT_FALSE(find(c, "axle end.left", "insert.left"_part)) << "an insert holds the axle";
  EXPECT_TRUE(find(c, "axle end.left", "steerer"_part));
  EXPECT_TRUE(c.not_checked.empty());
  for (const ClearanceItem& i : c.items) {
    EXPECT_LE(i.at_least, i.value);
    EXPECT_GT(i.at_least, i.value - 0.0101 - 0.05 * std::max({0.0, i.value - 20, -i.value}))
        << i.body << " " << i.member;
  }
}

TEST(Clearance, MovingTheAssemblyChangesNoGap) {
  Pose X = Pose::Identity();
  X.translate(Vec3(30, -20, 70)).rotate(Eigen::AngleAxisd(0.9, Vec3(1, 2, -1).normalized()));
  ClearanceOptions o = everything(), moved = o;
  moved.way_out = X.linear() * o.way_out;
  const Clearance a = clearance(fork().assembly, o), b = clearance(bike::moved(fork().assembly, X), moved);
  ASSERT_EQ(a.items.size(), b.items.size());
  for (const ClearanceItem& i : a.items) {
    const ClearanceItem* q = find(b, i.body.name, i.member);
    ASSERT_TRUE(q);
    EXPECT_NEAR(q->value, i.value, i.value > 0 ? 2e-9 : 1e-3) << i.body << " " << i.member;
  }
}

TEST(Clearance, MirroredForkHasTheMirroredGaps) {
  const Clearance a = clearance(fork().assembly, {}), b = clearance(bike::mirrored(fork().assembly), {});
  for (const auto& [from, to] :
       {std::pair{"blade.left"_part, "blade.right"_part}, {"insert.left"_part, "insert.right"_part}}) {
    EXPECT_NEAR(find(a, "tyre", from)->value, find(b, "tyre", to)->value, 1e-9);
    EXPECT_NEAR(find(a, "tyre", from)->on_member.y(), -find(b, "tyre", to)->on_member.y(), 1e-4);
  }
}

TEST(Clearance, ReversedTubeHasTheSameGap) {
  bike::Assembly a = fork().assembly;
  const ClearanceItem before = *find(clearance(a, {}), "tyre", "blade.left"_part);
  for (bike::Member& m : a.members) {
    if (m.part != "blade.left"_part) continue;
    const double len = m.tube.length();
    m.tube = m.tube.reversed();
    m = {m.part, m.tube, len - m.s_end, len - m.s_start, m.stock_length};
  }
  EXPECT_NEAR(find(clearance(a, {}), "tyre", "blade.left"_part)->value, before.value, 2e-9);
}

TEST(Clearance, GrowingARoundTyreTakesExactlySoMuch) {
  bike::Assembly a = fork().assembly;
  a.tyre.profile = shape::Profile::round(54, 0);
  const double before = find(clearance(a, {}), "tyre", "blade.left"_part)->value;
  a.tyre.profile = shape::Profile::round(57, 0);
  EXPECT_NEAR(find(clearance(a, {}), "tyre", "blade.left"_part)->value, before - 1.5, 1e-9);
}

TEST(Clearance, ThinnerTubesHaveWiderGaps) {
  bike::Assembly a = fork().assembly;
  const double before = find(clearance(a, {}), "tyre", "blade.left"_part)->value;
  for (bike::Member& m : a.members) m.tube = m.tube.grown(-0.5);
  EXPECT_GT(find(clearance(a, {}), "tyre", "blade.left"_part)->value, before + 0.4);
}

TEST(Clearance, AWidePlateBesideTheRotorIsAsFarAsItsPlane) {
  bike::Assembly a = fork().assembly;
  const Vec3 at = a.axle + Vec3(0, 52, 0);
  // with a dent, so that it can't be taken as convex
  bike::Plate tab;
  tab.part = "tab"_part, tab.thickness = 4;
  tab.outline = {at + Vec3(-20, 0, 20), at + Vec3(-20, 0, 60), at + Vec3(20, 0, 60), at + Vec3(20, 0, 20),
                 at + Vec3(0, 0, 40)};
  a.plates.push_back(tab);
  const Clearance c = clearance(a, everything());
  const ClearanceItem* q = find(c, "rotor", "tab"_part);
  ASSERT_TRUE(q);
  EXPECT_NEAR(q->value, 50 - (39.5 + 1.8), 1e-9);
  EXPECT_NEAR(q->at_least, q->value, 1e-8);
  EXPECT_TRUE(find(c, "axle end.left", "tab"_part)) << "it does not hold the axle";
}

TEST(Clearance, ToeOverlapOfAThinWheelFollowsThePlaneTriangle) {
  // Steering axis upright, no offset: the wheel's rear sweeps a circle of its own radius about the axis.
  bike::Assembly a = fork().assembly;
  a.axle = Vec3(0, 0, -400);
  a.tyre = {shape::Centreline::circle(a.axle, Vec3::UnitY(), 300), shape::Profile::round(0.002, 0)};
  ClearanceOptions o;
  o.pedals = Pedals{.crank_length = 170, .front_centre = 600, .head_angle = base::kPi / 2};
  const Clearance c = clearance(a, o);
  ASSERT_TRUE(c.toe);
  EXPECT_NEAR(c.toe->value, 600 - 170 - std::sqrt(300.001 * 300.001 - 130.0 * 130.0), 2e-3);
  EXPECT_NEAR(c.toe->steered, std::asin(130 / 300.0), 1e-4);
  EXPECT_EQ(c.toe->limit, 100);
}

TEST(Clearance, ALongerCrankTakesItsLengthFromTheToe) {
  ClearanceOptions o;
  o.pedals = Pedals{.crank_length = 165, .front_centre = 600, .bracket_drop = 60, .head_angle = 1.25};
  const double a = clearance(fork().assembly, o).toe->value;
  o.pedals->crank_length = 175;
  EXPECT_NEAR(clearance(fork().assembly, o).toe->value, a - 10, 1e-9);
  o.mudguard = Mudguard{.half_width = 32};
  EXPECT_LT(clearance(fork().assembly, o).toe->value, a - 20);
}

TEST(Clearance, ANarrowPlaceOnTheWayOutIsFound) {
  // nothing is narrower on the way than the steerer's end above the tyre at rest
  const Clearance plain = clearance(fork().assembly, {});
  EXPECT_NEAR(plain.removal.tyre_at_least, plain.items.front().at_least, 1e-12);
  // a bar across, below the axle: the tyre drops onto it
  bike::Assembly a = fork().assembly;
  bike::Member bar{"bar"_part, {}, 0, 100, 100};
  bar.tube.centreline =
      shape::Centreline::from_runs({{100, 0, 0}}, a.axle + Vec3(0, -50, -400), Vec3::UnitY(), Vec3::UnitX());
  bar.tube.profile = shape::Profile::round(10, 1);
  a.members.push_back(bar);
  const WheelRemoval r = clearance(a, {}).removal;
  EXPECT_LT(r.tyre_at_least, 0);
  EXPECT_EQ(r.tyre_member, "bar"_part);
}

TEST(Clearance, VerdictsCompareWithThePublishedMinimumOfTheType) {
  ClearanceOptions o = everything();
  o.wish = 8;
  const auto of = [&](const std::string& code) {
    for (const bike::Verdict& v : verdicts(clearance(fork().assembly, o))) {
      if (v.code == code) return v;
    }
    return bike::Verdict{};
  };
  EXPECT_EQ(of("clearance-published").limit->value, 6);
  EXPECT_EQ(of("clearance-wish").standing(), bike::Standing::barely_met);
  o.type = BicycleType::racing;
  EXPECT_EQ(of("clearance-published").limit->value, 4);
  o.wish = 8.5;
  EXPECT_EQ(of("clearance-wish").standing(), bike::Standing::not_met);
  EXPECT_EQ(of("clearance-road").standing(), bike::Standing::met);
  o.allowances.mud = 12;
  EXPECT_EQ(of("clearance-road").standing(), bike::Standing::not_met);
}

TEST(Clearance, WhatIsUnknownIsSaid) {
  const Clearance c = clearance(fork().assembly, {});
  EXPECT_EQ(c.not_checked.size(), 2U);  // rim, axle ends
  EXPECT_FALSE(c.toe);
}

}  // namespace
}  // namespace halfround::study
