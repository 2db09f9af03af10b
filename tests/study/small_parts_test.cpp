#include "study/small_parts.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

/// The public post-mount formula by rotor; second bolt 74 mm on. [two mount guides; a second-hand
/// restatement]
TEST(SmallParts, PostMountsStandWhereTheFormulaOfTheTradeSays) {
  struct Row {
    double rotor, face, first, second;
  };
  for (const Row& r :
       {Row{140, 47.240, 1.800, 75.800}, Row{160, 55.900, 6.800, 80.800}, Row{180, 64.560, 11.800, 85.800},
        Row{200, 73.221, 16.800, 90.800}, Row{203, 74.520, 17.550, 91.550}}) {
    const PostGeometry g = post_geometry(r.rotor);
    EXPECT_NEAR(g.face, r.face, 6e-4) << r.rotor;
    EXPECT_NEAR(g.first, r.first, 6e-4) << r.rotor;
    EXPECT_NEAR(g.second, r.second, 6e-4) << r.rotor;
  }
}

/// A plain upright bar of 30 mm straight above the axle: every foot has a closed form.
bike::Assembly upright(double y) {
  bike::Assembly a;
  a.axle = Vec3(40, 0, -400);
  for (const double side : {1.0, -1.0}) {
    bike::Member m;
    m.part = side > 0 ? "blade.left"_part : "blade.right"_part;
    m.tube = {
        shape::Centreline::from_runs({{400, 0, 0}}, Vec3(40, side * y, -400), Vec3::UnitZ(), Vec3::UnitX()),
        shape::Profile::round(30, 1)};
    m.s_end = m.stock_length = 400;
    a.members.push_back(m);
  }
  a.tyre = a.members[0].tube;  // of no account here
  return a;
}

TEST(SmallParts, OnAnUprightBarTheFootIsReckonedByHand) {
  const bike::Assembly a = upright(58);
  for (const double lateral : {52.0, 58.0, 64.0}) {
    const auto m = brake_mount(a, {.rotor_plane = 40, .bolts_from_rotor = lateral - 40});
    ASSERT_TRUE(m) << base::sentence(m.error());
    EXPECT_NEAR(m->turn, 0, 1e-12);
    ASSERT_EQ(m->feet.size(), 2u);
    const double e = lateral - 58, deep = std::sqrt(15 * 15 - e * e);
    const PostGeometry g = post_geometry(160);
    for (std::size_t i = 0; i < 2; ++i) {
      const MountFoot& f = m->feet[i];
      ASSERT_TRUE(f.meets);
      EXPECT_NEAR(f.standing, g.face - deep, 1e-9);
      EXPECT_NEAR(f.s, i == 0 ? g.first : g.second, 1e-9);
      EXPECT_NEAR(f.nearest, std::hypot(g.face, e) - 15, 1e-6);
      EXPECT_NEAR(f.face.x(), 40 - g.face, 1e-9);
      EXPECT_NEAR(f.face.y(), lateral, 1e-9);
      EXPECT_NEAR(std::sin(f.u), e / 15, 1e-9);  // b of an upright bar is +y
      EXPECT_LT(std::cos(f.u), 0);               // behind it
      // its own mitre, a post of 14 mm: shortest where it strikes the bar's crest, longest at its far side
      const double far = std::abs(e) + 7, near = std::max(0.0, std::abs(e) - 7);
      EXPECT_NEAR(f.most, g.face - std::sqrt(15 * 15 - far * far), 1e-3);
      EXPECT_NEAR(f.least, g.face - std::sqrt(15 * 15 - near * near), 1e-3);
      ASSERT_EQ(f.depths.size(), 24u);
      for (const Vec2& d : f.depths) {
        const double y = e + 7 * std::cos(d.x());
        EXPECT_NEAR(d.y(), g.face - std::sqrt(15 * 15 - y * y), 1e-9);
      }
    }
  }
}

TEST(SmallParts, AMountBesideItsBladeSaysHowFar) {
  const auto m = brake_mount(upright(80), {.rotor_plane = 40, .bolts_from_rotor = 12.0});
  ASSERT_TRUE(m);
  EXPECT_FALSE(m->feet[0].meets);
  EXPECT_NEAR(m->feet[0].nearest, std::hypot(post_geometry(160).face, 28) - 15, 1e-6);
  bool said = false;
  for (const std::string& n : m->notes) said = said || n.find("must reach sideways") != std::string::npos;
  EXPECT_TRUE(said);
  // it was called met: 11 mm clear of the blade, and nothing under the foot
  const auto told = verdicts(*m);
  const auto foot = std::ranges::find(told, "mount-foot", &bike::Verdict::code);
  ASSERT_NE(foot, told.end());
  EXPECT_EQ(foot->standing(), bike::Standing::not_met);
  EXPECT_EQ(foot->value, 0);
}

bike::Assembly fork() {
  auto f = layout::lay_out(layout::scene());
  EXPECT_TRUE(f);
  return f->assembly;
}

/// The right blade of the mirrored fork carries the mirror image of the left one's mount.
TEST(SmallParts, MirroredTheMountStandsOnTheOtherSide) {
  const bike::Assembly a = fork();
  const auto l = brake_mount(a, {}), r = brake_mount(bike::mirrored(a), {.blade = "blade.right"_part});
  ASSERT_TRUE(l && r);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_NEAR((l->feet[i].face - Vec3(1, -1, 1).cwiseProduct(r->feet[i].face)).norm(), 0, 1e-9);
    EXPECT_NEAR(l->feet[i].standing, r->feet[i].standing, 1e-9);
    EXPECT_NEAR(l->feet[i].s, r->feet[i].s, 1e-9);
    EXPECT_NEAR(std::cos(l->feet[i].u + r->feet[i].u), 1, 1e-9);
    // the face lies along the blade, so both posts are about as long
    EXPECT_NEAR(l->feet[0].standing, l->feet[1].standing, 8);
  }
  EXPECT_GE(l->notes.size(), 3u);  // makers differ, rotor plane, bolts: all assumed here
}

TEST(SmallParts, WhatNobodyPublishesIsNotInvented) {
  for (const bike::Mount kind : {bike::Mount::flat, bike::Mount::tab}) {
    const auto m = brake_mount(fork(), {.kind = kind});
    ASSERT_TRUE(m);
    EXPECT_FALSE(m->known);
    EXPECT_TRUE(m->feet.empty());
    EXPECT_NE(m->notes.back().find("not found"), std::string::npos);
    EXPECT_EQ(verdicts(*m)[0].standing(), bike::Standing::unknown);
    const auto given = brake_mount(fork(), {.kind = kind, .bolts = {{50, 10}, {50, 80}}});
    ASSERT_TRUE(given);
    EXPECT_EQ(given->feet.size(), 2u);
  }
}

TEST(SmallParts, LugAndSlotComeBeforeTheBladeIsJoined) {
  const bike::Assembly a = fork();
  const auto cuts = mitres(a, {});
  ASSERT_TRUE(cuts);
  const auto plan = joining_plan(a, *cuts);
  ASSERT_TRUE(plan);
  const std::vector<FeatureWish> wishes{{FeatureKind::brake_mount, "blade.left"_part, 120, 3, 14},
                                        {FeatureKind::axle_slot, "insert.left"_part, 10, 3, 2},
                                        {FeatureKind::pinch_lug, "insert.left"_part, 10, 3, 12}};
  const auto f = features(a, *cuts, wishes, plan->vents);
  ASSERT_TRUE(f) << base::sentence(f.error());
  ASSERT_EQ(f->size(), 5u);
  EXPECT_EQ((*f)[0].kind, FeatureKind::pinch_lug);
  EXPECT_EQ((*f)[1].kind, FeatureKind::axle_slot);
  EXPECT_NE((*f)[0].why.find("can't be held"), std::string::npos);
  EXPECT_EQ((*f)[2].kind, FeatureKind::vent);
  EXPECT_EQ((*f)[4].kind, FeatureKind::brake_mount);
  for (const Feature& q : *f) {
    const bike::Member* m = bike::find_member(a, q.member);
    EXPECT_NEAR(shape::level(m->tube, q.point).value, 0, 1e-9);
    if (q.kind == FeatureKind::vent) {
      EXPECT_EQ(q.caution, "");
    }
  }
}

TEST(SmallParts, AHoleNearANeckIsNamedWithTheWayOut) {
  const bike::Assembly a = fork();
  const auto cuts = mitres(a, {});
  ASSERT_TRUE(cuts);
  const Mitre& low = *std::find_if(cuts->begin(), cuts->end(), [](const Mitre& m) {
    return m.member == "blade.left"_part && m.end == bike::End::start;
  });
  double before = INFINITY;
  for (const double up : {8.0, 15.0, 60.0}) {
    const auto f = features(a, *cuts, {{FeatureKind::boss, "blade.left"_part, low.s_most + up, 0, 4}});
    ASSERT_TRUE(f);
    EXPECT_EQ((*f)[0].caution.empty(), up == 60) << up;
    if (up < 60) {
      EXPECT_NE((*f)[0].caution.find("neck of 25 mm"), std::string::npos);
      EXPECT_GE((*f)[0].from_joint, up - 2 - 1e-9);
    }
    EXPECT_NE((*f)[0].from_joint, before);
    before = (*f)[0].from_joint;
  }
  const auto gone = features(a, *cuts, {{FeatureKind::boss, "blade.left"_part, low.s_least / 2, 0, 4}});
  ASSERT_TRUE(gone);
  EXPECT_NE((*gone)[0].caution.find("cuts away"), std::string::npos);
}

TEST(SmallParts, WhatCannotBeIsRefusedPlainly) {
  const bike::Assembly a = fork();
  EXPECT_EQ(brake_mount(a, {.blade = "chainstay"_part}).error().code, "mount-blade");
  EXPECT_EQ(brake_mount(a, {.rotor = 90}).error().code, "mount-rotor");
  EXPECT_EQ(brake_mount(a, {.rotor = NAN}).error().code, "mount-rotor");
  EXPECT_EQ(features(a, {}, {{FeatureKind::boss, "chainstay"_part, 3, 0, 4}}).error().code, "feature-member");
  EXPECT_EQ(features(a, {}, {{FeatureKind::boss, "steerer"_part, -3, 0, 4}}).error().code, "feature-place");
  EXPECT_EQ(features(a, {}, {{FeatureKind::boss, "steerer"_part, 3, NAN, 4}}).error().code, "feature-place");
  EXPECT_EQ(features(a, {}, {{FeatureKind::boss, "steerer"_part, 3, 0, 0}}).error().code, "feature-place");
}

}  // namespace
}  // namespace halfround::study
