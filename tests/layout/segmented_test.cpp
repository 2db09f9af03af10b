// Straight and raked blades under a segmented crown. Numbers invented.
#include "layout/segmented.h"

#include <gtest/gtest.h>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

using namespace base::literals;
using base::kPi;

TEST(Segmented, EveryPartStandsWhereTheJobPutsIt) {
  const Intent intent = segmented_scene();
  const auto fork = lay_out(intent);
  ASSERT_TRUE(fork) << fork.error().what;
  const auto& crown = std::get<SegmentedCrown>(intent.crown);
  const bike::Member* tube = bike::find_member(fork->assembly, "crown.left"_part);
  const bike::Member* blade = bike::find_member(fork->assembly, "blade.left"_part);
  ASSERT_TRUE(tube && blade);
  EXPECT_NEAR((tube->tube.centreline.point(tube->s_end) - Vec3(0, 0, -crown.height)).norm(), 0, 1e-9);
  // the crown tube's axis starts on the blade's, and makes its angle with the plane's upright
  const Vec3 start = tube->tube.centreline.point(tube->s_start);
  const double s = blade->tube.centreline.nearest(start);
  EXPECT_NEAR((blade->tube.centreline.point(s) - start).norm(), 0, 1e-9);
  EXPECT_NEAR(blade->s_end - s, crown.above, 1e-9);
  const double tilt = fork->left.tilt_angle;
  const Vec3 up(-std::sin(tilt), 0, std::cos(tilt));
  EXPECT_NEAR(std::acos(tube->tube.centreline.at(0).t.dot(up)), crown.angle, 1e-9);
  EXPECT_NEAR(fork->left.shares.sum(), intent.offset, 1e-9);
  EXPECT_NEAR(fork->left.clearance.value, 9, 1e-6);
  // the lower end is at the axle
  const Vec3 low = blade->tube.centreline.point(blade->s_start);
  EXPECT_NEAR((low - Vec3(intent.offset, 60, -intent.drop)).norm(), 0, 1e-9);
}

TEST(Segmented, SplayIsTheClosedFormsForStraightBlades) {
  // in the plane of a straight blade: tan splay = (y_low - y_crown) / (rise there), whatever the tilt
  const auto fork = lay_out(segmented_scene());
  ASSERT_TRUE(fork) << fork.error().what;
  const Placed& p = fork->left;
  const double reach = std::hypot(400.0 - 40.0, 44.0);  // axle to the crown tube's axis on the steerer
  const double rise = reach - p.y_crown / std::tan(80.0_deg);
  EXPECT_NEAR(std::tan(p.splay), (60 - p.y_crown) / rise, 1e-10);
  EXPECT_NEAR(std::sin(p.tilt_angle), 44 / reach, 1e-12);
}

TEST(Segmented, LeftAndRightAreMirrorImages) {
  const auto fork = lay_out(segmented_scene());
  ASSERT_TRUE(fork);
  const bike::Assembly other = bike::mirrored(fork->assembly);
  for (const bike::Member& m : fork->assembly.members) {
    const bike::Member* q = bike::find_member(other, m.part);
    ASSERT_TRUE(q) << m.part;
    EXPECT_NEAR((q->tube.centreline.point(30) - m.tube.centreline.point(30)).norm(), 0, 1e-9) << m.part;
  }
  for (const bike::Plate& p : fork->assembly.plates) {
    const bike::Plate* q = bike::find_plate(other, p.part);
    ASSERT_TRUE(q) << p.part;
    EXPECT_NEAR((q->X_FP.translation() - p.X_FP.translation()).norm(), 0, 1e-9);
  }
}

TEST(Segmented, EachPairOfWishesIsMet) {
  const Intent scene = segmented_scene();
  const auto met = [](const Intent& u, const Fork& f, const Wished& w) {
    return outcome(w.what, f.left, u.left.stock_length);
  };
  const Wished pairs[][2] = {{{Wish::spacing, 104}, {Wish::lower_trim, 3}},
                             {{Wish::spacing, 104}, {Wish::upper_trim, 6}},
                             {{Wish::splay, 1.5_deg}, {Wish::upper_trim, 0}},
                             {{Wish::clearance, 11}, {Wish::upper_trim, 4}},
                             {{Wish::clearance, 7}, {Wish::lower_trim, 0}}};
  for (const auto& pair : pairs) {
    Intent u = scene;
    u.wishes = {pair[0], pair[1]};
    const auto fork = lay_out(u);
    ASSERT_TRUE(fork) << name_of(pair[0].what) << ": " << fork.error().what;
    for (const Wished& w : pair) EXPECT_NEAR(met(u, *fork, w), w.value, 1e-5) << name_of(w.what);
  }
}

TEST(Segmented, RakedBladesTakeTheirShareAndTheRestIsTilt) {
  Intent u = segmented_scene();
  u.left.runs = {{30, 0, 0}, {250 * 0.3, 0.3, bike::kForward}, {335, 0, 0}};
  u.left.stock_length = 440;
  const auto fork = lay_out(u);
  ASSERT_TRUE(fork) << fork.error().what;
  EXPECT_GT(fork->left.shares.rake, 5);
  EXPECT_NEAR(fork->left.shares.sum(), u.offset, 1e-9);
  EXPECT_NEAR(fork->left.crown_height, 40, 1e-8);
}

TEST(Segmented, NoRoomForACrownTubeIsSaidInMillimetres) {
  Intent u = segmented_scene();
  u.tyre = bike::tyre_surface(*bike::tyre_from_designation("23-622", 15));
  u.drop = 400;
  u.wishes = {Wished{Wish::spacing, 50}, Wished{Wish::lower_trim, 0}};
  const auto fork = lay_out(u);
  ASSERT_FALSE(fork);
  EXPECT_EQ(fork.error().code, "crown-tube-too-short");
  EXPECT_NE(fork.error().fits.find("mm"), std::string::npos);
}

}  // namespace
}  // namespace halfround::layout
