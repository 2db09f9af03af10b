// Gussets: their legs lie on the tubes, in the plane of both; left and right mirror; refusals say what fits.
#include "layout/gusset.h"

#include <gtest/gtest.h>

#include <cstdio>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

Intent with(Intent u, GussetWish wish) {
  u.gussets = {std::move(wish)};
  return u;
}
/// Room above the crown tubes.
Intent tall() {
  Intent u = segmented_scene();
  std::get<SegmentedCrown>(u.crown).above = 48;
  return u;
}
std::vector<Intent> scenes() {
  return {with(segmented_scene(), {bike::PartKind::crown_tube, bike::PartKind::steerer, true, 11, 18, 3, 0}),
          with(segmented_scene(), {bike::PartKind::blade, bike::PartKind::crown_tube, false, 20, 10, 3, 60}),
          with(tall(), {bike::PartKind::blade, bike::PartKind::crown_tube, true, 15, 10, 3, 0}),
          with(scene(), {bike::PartKind::blade, bike::PartKind::steerer, true, 18, 14, 3, 0})};
}

TEST(Gusset, ItsLegsLieOnBothTubes) {
  for (const Intent& u : scenes()) {
    const auto fork = lay_out(u);
    ASSERT_TRUE(fork) << base::sentence(fork.error());
    const bike::Plate* g = bike::find_plate(fork->assembly, "gusset.left"_part);
    ASSERT_TRUE(g);
    EXPECT_GT(bike::area(g->corners), 0) << "anticlockwise";
    const GussetWish& w = u.gussets[0];
    const auto tube = [&](bike::PartKind kind) -> const shape::Tube& {
      const bool middle = kind == bike::PartKind::steerer;
      return bike::find_member(fork->assembly,
                               bike::part(kind, middle ? bike::Side::middle : bike::Side::left))
          ->tube;
    };
    int on_first = 0, on_second = 0;
    for (const bike::Corner& c : g->corners) {
      const Vec3 p = g->X_FP * Vec3(c.at.x(), c.at.y(), 0);
      const double first = std::abs(shape::level(tube(w.first), p).value),
                   second = std::abs(shape::level(tube(w.second), p).value);
      EXPECT_LT(std::min(first, second), 2e-3) << "every corner stands on one of them";
      if (first < 2e-3) ++on_first;
      if (second < 2e-3) ++on_second;
    }
    EXPECT_GE(on_first, 2);
    EXPECT_GE(on_second, 2);
    // above or below: the leg's end on the other tube against its beginning
    const auto height = [&](std::size_t i) {
      return (g->X_FP * Vec3(g->corners[i].at.x(), g->corners[i].at.y(), 0)).z();
    };
    const std::size_t end = g->corners.size() - 1, far = end - 1;
    EXPECT_EQ(height(far) > height(end), w.above) << bike::noun_of(w.first) << " " << bike::noun_of(w.second);
  }
}

TEST(Gusset, AreaByHandBetweenTwoStraightTubes) {
  // between a crown tube and the steerer both edges are straight: a triangle less its corner
  const Intent u =
      with(segmented_scene(), {bike::PartKind::crown_tube, bike::PartKind::steerer, true, 11, 18, 3, 0});
  const auto fork = lay_out(u);
  ASSERT_TRUE(fork);
  const bike::Plate* g = bike::find_plate(fork->assembly, "gusset.left"_part);
  const bike::Member *crown = bike::find_member(fork->assembly, "crown.left"_part),
                     *steerer = bike::find_member(fork->assembly, "steerer"_part);
  ASSERT_TRUE(g && crown && steerer);
  const Vec3 d = crown->tube.centreline.at(crown->s_start).t, up = steerer->tube.centreline.at(0).t;
  const double angle = std::acos(std::abs(d.dot(up)));
  const double sine = std::sin(angle);
  EXPECT_NEAR(bike::area(g->corners), (11 * 18 - kGussetCorner * kGussetCorner) / 2 * sine, 0.02);
}

TEST(Gusset, LeftAndRightMirrorEachOther) {
  for (const Intent& u : scenes()) {
    const auto fork = lay_out(u);
    ASSERT_TRUE(fork);
    const bike::Plate *l = bike::find_plate(fork->assembly, "gusset.left"_part),
                      *r = bike::find_plate(fork->assembly, "gusset.right"_part);
    ASSERT_TRUE(l && r);
    EXPECT_NEAR(bike::area(l->corners), bike::area(r->corners), 1e-6);
    const Vec3 &p = l->X_FP.translation(), &q = r->X_FP.translation();
    EXPECT_NEAR((p - Vec3(q.x(), -q.y(), q.z())).norm(), 0, 1e-8);
  }
}

TEST(Gusset, WhatItRefusesFitsByTheAmountItSays) {
  const auto none =
      lay_out(with(plate_scene(), {bike::PartKind::blade, bike::PartKind::crown_tube, false, 20, 20, 3, 0}));
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().code, "gusset-no-joint");
  const auto longer =
      lay_out(with(tall(), {bike::PartKind::blade, bike::PartKind::crown_tube, true, 20, 200, 3, 0}));
  ASSERT_FALSE(longer);
  EXPECT_EQ(longer.error().code, "gusset-too-long");
  double most = 0;
  ASSERT_EQ(std::sscanf(longer.error().fits.c_str(), "Give %lf mm or less", &most), 1);
  EXPECT_TRUE(
      lay_out(with(tall(), {bike::PartKind::blade, bike::PartKind::crown_tube, true, 15, most - 0.1, 3, 0})));
  const auto hollow =
      lay_out(with(tall(), {bike::PartKind::blade, bike::PartKind::crown_tube, true, 15, 10, 3, 9}));
  ASSERT_FALSE(hollow);
  EXPECT_EQ(hollow.error().code, "gusset-too-hollow");
  ASSERT_EQ(std::sscanf(hollow.error().fits.c_str(), "Give a radius of %lf mm", &most), 1);
  EXPECT_TRUE(lay_out(
      with(tall(), {bike::PartKind::blade, bike::PartKind::crown_tube, true, 15, 10, 3, most + 0.1})));
  EXPECT_EQ(lay_out(with(tall(), {bike::PartKind::blade, bike::PartKind::crown_tube, true, 5, 10, 3, 0}))
                .error()
                .code,
            "gusset-too-short");
}

}  // namespace
}  // namespace halfround::layout
