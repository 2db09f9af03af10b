#include "study/braze.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

struct Scene {
  bike::Assembly assembly;
  std::vector<Mitre> cuts;
};

Scene scene_of(bike::Assembly assembly) {
  Scene s{std::move(assembly), {}};
  auto cuts = mitres(s.assembly, {});
  EXPECT_TRUE(cuts);
  s.cuts = std::move(*cuts);
  return s;
}

const Scene& fork() {
  static const Scene s = [] {
    auto f = layout::lay_out(layout::scene());
    EXPECT_TRUE(f) << base::sentence(f.error());
    return scene_of(f->assembly);
  }();
  return s;
}

JoiningPlan plan_of(const Scene& s, const BrazeOptions& options = {}) {
  auto p = joining_plan(s.assembly, s.cuts, options);
  EXPECT_TRUE(p) << base::sentence(p.error());
  return std::move(*p);
}

TEST(Braze, PassesAddUpToTheFinishedFilletAndTheRoot) {
  const JoiningPlan plan = plan_of(fork());
  ASSERT_EQ(plan.joints.size(), 4u);
  double mass = 0;
  for (const JointFill& j : plan.joints) {
    ASSERT_EQ(j.fills.size(), 2u);
    EXPECT_GT(j.fills[0].volume, j.root);
    EXPECT_NEAR(j.fills[0].volume + j.fills[1].volume, j.shaped + j.root, 1e-9);
    EXPECT_GT(j.root, 0.1 * j.length * 0.9);  // at least the gap by the wall, which is 1 mm
    EXPECT_NEAR(j.mass, (j.shaped + j.root) * 8400e-9, 1e-12);
    EXPECT_GT(j.psi_least, 0.3);
    EXPECT_LT(j.psi_most, base::kPi);
    mass += j.mass;
  }
  EXPECT_NEAR(plan.mass, mass, 1e-12);
}

TEST(Braze, RodsHoldTheVolumeAndTheWaste) {
  BrazeOptions o;
  o.waste = 0.5, o.rods = {2};
  const JoiningPlan plan = plan_of(fork(), o);
  ASSERT_EQ(plan.shopping.size(), 1u);
  EXPECT_NEAR(plan.shopping[0].rods[0].length * base::kPi, 1.5 * plan.shopping[0].volume, 1e-9);
}

/// A filler's volume depends neither on where the fork stands nor on which side is which.
TEST(Braze, MovedAndMirroredTheFilletsStay) {
  const JoiningPlan plan = plan_of(fork());
  base::Pose X = base::Pose::Identity();
  X.linear() = Eigen::AngleAxisd(0.7, Vec3(1, 2, -1).normalized()).toRotationMatrix();
  X.translation() = Vec3(30, -70, 12);
  const JoiningPlan moved = plan_of(scene_of(bike::moved(fork().assembly, X)));
  const JoiningPlan mirrored = plan_of(scene_of(bike::mirrored(fork().assembly)));
  for (const JointFill& j : plan.joints) {
    for (const JoiningPlan* other : {&moved, &mirrored}) {
      const auto at = std::find_if(other->joints.begin(), other->joints.end(), [&](const JointFill& k) {
        return k.member == j.member && k.onto == j.onto;
      });
      ASSERT_NE(at, other->joints.end());
      EXPECT_NEAR(at->shaped, j.shaped, 2e-4 * j.shaped);
      EXPECT_NEAR(at->psi_most, j.psi_most, 1e-3);
    }
  }
}

/// No filler is counted where the blade passes beside the steerer, but half of it where it meets the other.
TEST(Braze, PassingEdgesTakeFillerOnlyWhereTheyMeetAnotherMember) {
  bool passing = false;
  for (const Mitre& m : fork().cuts) {
    const auto line = seam(fork().assembly, m);
    ASSERT_EQ(line.size(), m.outer.size());
    for (std::size_t i = 0; i < line.size(); ++i) {
      if (m.outer[i].met) {
        EXPECT_EQ(line[i].share, 1);
        continue;
      }
      passing = true;
      EXPECT_EQ(line[i].share, m.meets.empty() ? 0 : 0.5);
    }
  }
  EXPECT_TRUE(passing);  // else the scene tests nothing
}

TEST(Braze, TheFirstTackStandsAtTheWidestAngle) {
  for (const JointFill& j : plan_of(fork()).joints) {
    ASSERT_GE(j.tacks.size(), 2u);
    // two places opposite each other may be as wide: either will do
    double widest = 0, there = 0;
    for (const SeamPoint& q : j.seam) {
      if (q.share != 1 || q.psi >= base::to_rad(150)) continue;
      widest = std::max(widest, q.psi);
      if (q.u == j.tacks[0]) there = std::max(there, q.psi);
    }
    EXPECT_NEAR(there, widest, 2e-6);
    EXPECT_LT(std::cos(j.tacks[1] - j.tacks[0]), 0);
  }
}

/// Legs kept within the hand's bounds: never less than the ideal where the ideal thins out.
TEST(Braze, AHandWidensTheFlatSidesAndShortensTheNarrowOnes) {
  const Mitre& m = fork().cuts.front();
  const auto line = seam(fork().assembly, m);
  const double ideal = fillet_volume(line, {6, 0, 0}).along_centroid;
  EXPECT_GT(fillet_volume(line, {6, 6, 0}).along_centroid, ideal);
  EXPECT_LT(fillet_volume(line, {6, 0, 5}).along_centroid, ideal);
  EXPECT_NEAR(fillet_volume(line, {12, 0, 0}).along_line, 4 * fillet_volume(line, {6, 0, 0}).along_line,
              1e-6);
}

TEST(Braze, EveryCavityThatTheJointsCloseGetsAVentClearOfItsNecks) {
  const JoiningPlan plan = plan_of(fork());
  ASSERT_EQ(plan.vents.size(), 2u);  // the blades; steerer and inserts stay open
  for (const Vent& v : plan.vents) {
    const bike::Member* m = bike::find_member(fork().assembly, v.member);
    EXPECT_NEAR(shape::level(m->tube, v.point).value, 0, 1e-9);
    EXPECT_LT(std::abs(v.point.y()), std::abs(m->tube.centreline.point(v.s).y()));  // toward the wheel
    for (const Mitre& c : fork().cuts) {
      if (c.member != v.member) continue;
      for (const EdgePoint& q : c.outer) EXPECT_GT(std::abs(q.s - v.s), 25);
    }
  }
  Scene open = fork();
  open.assembly.joints.erase(open.assembly.joints.begin());
  EXPECT_EQ(plan_of(open).vents.size(), 1u);
}

// 2026-12-01: a vent was drilled between the two feet of a brake mount, where the blade is stressed most.
TEST(Braze, VentsKeepClearOfWhatMustStayWhole) {
  const JoiningPlan plain = plan_of(fork());
  for (const Vent& v : plain.vents) {
    BrazeOptions o;
    o.keep_clear = {{v.member, v.s - 40, v.s + 70, "brake mount's feet"}};
    const JoiningPlan moved = plan_of(fork(), o);
    const auto it = std::ranges::find(moved.vents, v.member, &Vent::member);
    ASSERT_NE(it, moved.vents.end());
    EXPECT_NEAR(it->s, v.s + 70 + o.vent / 2, 1e-9);  // the next place up, whole hole clear
    EXPECT_NE(it->why.find("brake mount's feet"), std::string::npos);
    for (const Vent& w : moved.vents)
      if (w.member != v.member) {
        EXPECT_EQ(w.s, std::ranges::find(plain.vents, w.member, &Vent::member)->s);
      }
    // two stretches that overlap, told in either order, are one
    o.keep_clear = {{v.member, v.s + 50, v.s + 90, "boss"},
                    {v.member, v.s - 40, v.s + 70, "brake mount's feet"}};
    const JoiningPlan two = plan_of(fork(), o);
    EXPECT_NEAR(std::ranges::find(two.vents, v.member, &Vent::member)->s, v.s + 90 + o.vent / 2, 1e-9);
    // nowhere clear of the necks: what must stay whole is kept whole, and it says so
    o.keep_clear = {{v.member, v.s - 1, 1e4, "brake mount's feet"}};
    const JoiningPlan tight = plan_of(fork(), o);
    const auto t = std::ranges::find(tight.vents, v.member, &Vent::member);
    EXPECT_LT(t->s, v.s - 1);
    EXPECT_NE(t->why.find("No place on this tube is clear of everything"), std::string::npos);
  }
}

TEST(Braze, TheSecondAlloyMustMeltBelowTheFirst) {
  BrazeOptions o;
  o.passes = {{"RBCuZn-D", 2}, {"RBCuZn-C", 6}};
  const JoiningPlan good = plan_of(fork(), o);
  ASSERT_EQ(good.windows.size(), 1u);
  EXPECT_EQ(good.windows[0].room_C, 921 - 888);
  EXPECT_EQ(good.windows[0].work_from_C, 910);
  EXPECT_EQ(good.windows[0].work_to_C, 921);
  EXPECT_EQ(verdicts(good)[0].standing(), bike::Standing::met);
  o.passes = {{"BAg-24", 2}, {"RBCuZn-C", 6}};
  const JoiningPlan bad = plan_of(fork(), o);
  EXPECT_EQ(verdicts(bad)[0].standing(), bike::Standing::not_met);
  EXPECT_NE(bad.windows[0].says.find("lay it first"), std::string::npos);
  EXPECT_TRUE(plan_of(fork()).windows.empty());
}

/// Four faces of the tab's depth by the wall: what reaches into the blade of a tab dropout.
TEST(Braze, ATabInASlotIsFilledByItsGap) {
  layout::Intent u = layout::scene();
  u.lower_end = {};
  u.lower_end.kind = layout::LowerEndKind::tab_dropout;
  u.lower_end.blade_from_hub = 3, u.lower_end.rise = 30, u.lower_end.thickness = 6,
  u.lower_end.slot_depth = 18;
  u.lower_end.slot_width = 9;
  auto f = layout::lay_out(u);
  ASSERT_TRUE(f) << base::sentence(f.error());
  const JoiningPlan plan = plan_of(scene_of(f->assembly));
  ASSERT_EQ(plan.joints.size(), 4u);
  const JointFill& tab = plan.joints[2];
  EXPECT_TRUE(tab.seam.empty());
  const bike::Member* blade = bike::find_member(f->assembly, "blade.left"_part);
  const double wall = blade->tube.profile.wall(blade->s_start);
  // the blade leans a few degrees against its plate, and the tab is drawn square
  EXPECT_NEAR(tab.fills[0].volume, 4 * 18 * wall * 0.08, 0.06 * 4 * 18 * wall * 0.08);
  EXPECT_EQ(tab.fills[0].filler, "BAg-24");
  EXPECT_EQ(plan.shopping.size(), 2u);
}

TEST(Braze, ACautionIsSaidOnce) {
  const JoiningPlan plan = plan_of(fork());
  const auto said = [&](const char* word) {
    return std::count_if(plan.cautions.begin(), plan.cautions.end(),
                         [&](const Step& s) { return s.what.find(word) != std::string::npos; });
  };
  for (const char* word : {"Zinc fume", "Cadmium never", "fluorides", "Eye shade 3 or 4", "Local rules"})
    EXPECT_EQ(said(word), 1) << word;
}

TEST(Braze, WhatCannotBeIsRefusedPlainly) {
  const auto code = [&](const BrazeOptions& o) {
    const auto p = joining_plan(fork().assembly, fork().cuts, o);
    return p ? std::string("accepted") : p.error().code;
  };
  EXPECT_EQ(code({.passes = {}}), "braze-pass");
  EXPECT_EQ(code({.passes = {{"RBCuZn-C", 6}, {"RBCuZn-C", 2}}}), "braze-pass");
  EXPECT_EQ(code({.passes = {{"RBCuZn-C", NAN}}}), "braze-pass");
  EXPECT_EQ(code({.passes = {{"bag 1A", 6}}}), "filler-cadmium");
  EXPECT_EQ(code({.passes = {{"chewing gum", 6}}}), "filler-unknown");
  EXPECT_EQ(code({.rods = {0}}), "braze-number");
  EXPECT_EQ(code({.waste = -0.1}), "braze-number");
  EXPECT_EQ(code({.root_gap = NAN}), "braze-number");
}

}  // namespace
}  // namespace halfround::study
