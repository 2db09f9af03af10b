// Small parts placed by rule: clear of joints, bends and each other; what is given by hand stays.
#include "study/feature_rules.h"

#include <gtest/gtest.h>

#include "layout_scene.h"
#include "parts.h"
#include "study/mitre.h"

namespace halfround::study {
namespace {

struct Scene {
  bike::Assembly fork;
  std::vector<Mitre> mitres;
};
Scene built(const layout::Intent& u) {
  auto fork = layout::lay_out(u);
  EXPECT_TRUE(fork) << (fork ? "" : base::sentence(fork.error()));
  auto mitres = study::mitres(fork->assembly, {});
  EXPECT_TRUE(mitres);
  return {fork->assembly, *mitres};
}
std::vector<layout::Intent> scenes() {
  layout::Intent tab = layout::plate_scene();
  tab.lower_end = {.kind = layout::LowerEndKind::tab_dropout};
  tab.lower_end.blade_from_hub = 4, tab.lower_end.rise = 24, tab.lower_end.thickness = 6;
  tab.lower_end.slot_depth = 20, tab.lower_end.slot_width = 9;
  return {layout::scene(), layout::segmented_scene(), layout::plate_scene(), tab};
}
std::vector<Feature> made(const Scene& s, const std::vector<FeatureWish>& wishes) {
  auto f = features(s.fork, s.mitres, wishes);
  EXPECT_TRUE(f) << (f ? "" : base::sentence(f.error()));
  return f ? *f : std::vector<Feature>{};
}
std::vector<FeatureWish> everything(const bike::Part& blade) {
  return {{FeatureKind::wire_passage, blade},
          {FeatureKind::hose_passage, blade},
          {FeatureKind::mudguard_eye, blade},
          {FeatureKind::rack_boss, blade},
          {FeatureKind::cage_bosses, blade}};
}

TEST(FeatureRules, EveryKindStandsClearOfHeatBendsAndItsNeighbours) {
  for (const layout::Intent& u : scenes()) {
    const Scene s = built(u);
    for (const FeatureWish& w : everything("blade.left"_part)) {
      const auto found = made(s, {w});
      const bool two =
          rule_of(w.kind)->where == FeatureRule::Where::low_and_high || rule_of(w.kind)->pitch > 0;
      ASSERT_EQ(found.size(), two ? 2u : 1u) << name_of(w.kind);
      for (const Feature& f : found) {
        EXPECT_GE(f.from_joint, 25) << f.name;
        EXPECT_EQ(f.caution, "") << f.name;
        EXPECT_NE(f.placed, "") << f.name;
        EXPECT_EQ(f.size, rule_of(w.kind)->size);
        for (const shape::Piece& p : bike::find_member(s.fork, f.member)->tube.centreline.pieces()) {
          if (p.curvature == 0) continue;
          EXPECT_TRUE(f.s + f.size / 2 <= p.s0 || f.s - f.size / 2 >= p.s0 + p.length)
              << f.name << " in a bend";
        }
      }
      if (w.kind == FeatureKind::cage_bosses) {
        EXPECT_NEAR(found[1].s - found[0].s, kCagePitch, 1e-12);
      }
    }
  }
}

TEST(FeatureRules, TheyPointTheWayTheRuleSays) {
  const Scene s = built(layout::segmented_scene());
  for (const bike::Part& blade : {"blade.left"_part, "blade.right"_part}) {
    const double out = blade.side == bike::Side::left ? 1 : -1;
    EXPECT_GT(out * made(s, {{FeatureKind::rack_boss, blade}})[0].outward.y(), 0.99);
    EXPECT_LT(out * made(s, {{FeatureKind::wire_passage, blade}})[0].outward.y(), -0.99);
    EXPECT_LT(made(s, {{FeatureKind::mudguard_eye, blade}})[0].outward.x(), -0.95);
  }
}

TEST(FeatureRules, LeftAndRightMirrorEachOther) {
  for (const layout::Intent& u : scenes()) {
    const Scene s = built(u);
    const auto left = made(s, everything("blade.left"_part)), right = made(s, everything("blade.right"_part));
    ASSERT_EQ(left.size(), right.size());
    for (std::size_t i = 0; i < left.size(); ++i) {
      EXPECT_EQ(left[i].s, right[i].s) << left[i].name;
      EXPECT_NEAR((left[i].point - Vec3(right[i].point.x(), -right[i].point.y(), right[i].point.z())).norm(),
                  0, 0.3)
          << "to half a degree of clock: " << left[i].name;
    }
  }
}

TEST(FeatureRules, LowIsTheLowestAndOneMillimetreLowerIsTooNear) {
  const Scene s = built(layout::segmented_scene());
  const Feature eye = made(s, {{FeatureKind::mudguard_eye, "blade.left"_part}})[0];
  const Feature lower = made(s, {{FeatureKind::mudguard_eye, "blade.left"_part, eye.s - 1, eye.u}})[0];
  EXPECT_LT(lower.from_joint, 25);
  EXPECT_NE(lower.caution, "");
  EXPECT_EQ(lower.placed, "") << "given by hand";
}

TEST(FeatureRules, WhatIsGivenByHandStaysAndTheOthersKeepAway) {
  const Scene s = built(layout::plate_scene());
  const Feature alone = made(s, {{FeatureKind::rack_boss, "blade.left"_part}})[0];
  const auto both = made(s, {{FeatureKind::rack_boss, "blade.left"_part},
                             {FeatureKind::boss, "blade.left"_part, alone.s, alone.u, 9}});
  ASSERT_EQ(both.size(), 2u);
  const Feature &moved = both[0].placed.empty() ? both[1] : both[0],
                &hand = both[0].placed.empty() ? both[0] : both[1];
  EXPECT_EQ(hand.s, alone.s);
  EXPECT_GE((moved.point - hand.point).norm(), (9.0 + 11.0) / 2 + kBetweenParts - 1e-9);
}

TEST(FeatureRules, WhereThereIsNoRoomItSaysWhatThereIs) {
  layout::Intent u = layout::scene();
  const Scene s = built(u);
  const auto none =
      features(s.fork, s.mitres, {{FeatureKind::cage_bosses, "blade.left"_part}}, {}, {.neck = 160});
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().code, "feature-no-room");
  EXPECT_NE(none.error().what.find("64 mm apart"), std::string::npos) << none.error().what;
  EXPECT_EQ(features(s.fork, s.mitres, {{FeatureKind::boss, "blade.left"_part}}).error().code,
            "feature-place-missing");
  EXPECT_EQ(features(s.fork, s.mitres, {{FeatureKind::rack_boss, "steerer"_part}}).error().code,
            "feature-rule-member");
}

}  // namespace
}  // namespace halfround::study
