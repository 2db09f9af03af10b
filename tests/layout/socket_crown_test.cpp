// A crown that is there already: where its sockets bring the blades, and the sentence where they don't go in.
#include "layout/socket_crown.h"

#include <gtest/gtest.h>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

using namespace base::literals;

/// The scene with the crown changed.
template <class Change>
Intent with(Change change) {
  Intent u = socket_scene();
  change(std::get<SocketCrown>(u.crown));
  u.wishes[1].value = std::get<SocketCrown>(u.crown).spacing;
  return u;
}
void expect_refused(const Intent& u, const char* code, const char* says) {
  const auto fork = lay_out(u);
  ASSERT_FALSE(fork) << code;
  EXPECT_EQ(fork.error().code, code);
  EXPECT_NE(fork.error().what.find(says), std::string::npos) << fork.error().what;
  EXPECT_FALSE(fork.error().fits.empty());
  EXPECT_EQ(fork.error().where.key, "crown");
}

TEST(SocketCrown, AStraightBladeRunsFromTheMouthToTheLowerEnd) {
  const Intent u = socket_scene();
  const auto& crown = std::get<SocketCrown>(u.crown);
  const auto fork = lay_out(u);
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  const Vec3 mouth(crown.ahead, crown.spacing / 2, -crown.height - crown.thickness / 2);
  const Vec3 low(u.offset, u.over_locknut / 2 + u.lower_end.blade_from_hub, -u.drop);
  const Placed& p = fork->left;
  EXPECT_NEAR((p.tube.centreline.point(p.s_crown) - mouth).norm(), 0, 1e-9);
  EXPECT_NEAR((p.tube.centreline.point(p.lower_trim) - low).norm(), 0, 1e-9);
  EXPECT_NEAR(p.s_crown - p.lower_trim, (mouth - low).norm(), 1e-9);
  EXPECT_NEAR(p.s_top - p.s_crown, crown.reach, 1e-12);
}

TEST(SocketCrown, ItsBoresStandWhereTheCrownHasThem) {
  const auto fork = lay_out(with([](SocketCrown& c) { c.splay = 2.0_deg, c.ahead = 3; }));
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  const bike::Plate* crown = bike::find_plate(fork->assembly, "crown"_part);
  ASSERT_TRUE(crown);
  for (const double side : {1.0, -1.0}) {
    const bike::Bore* b = bike::find_bore(*crown, side > 0 ? "blade.left"_part : "blade.right"_part);
    ASSERT_TRUE(b);
    const Vec3 mouth = bike::bore_mouth(*crown, *b);
    EXPECT_NEAR((mouth - Vec3(3, side * 50, -17)).norm(), 0, 1e-9);
    EXPECT_NEAR(std::atan2(-side * b->axis.y(), b->axis.z()), 2.0_deg, 1e-9);
    EXPECT_NEAR(b->depth, 28, 1e-12);
  }
  EXPECT_NEAR(bike::find_bore(*crown, "steerer"_part)->diameter, 28.6, 1e-12);
}

TEST(SocketCrown, SocketsThatDontFitAreRefusedWithWhatWould) {
  expect_refused(with([](SocketCrown& c) { c.reach = 33; }), "socket-too-deep", "33.0 mm");
  expect_refused(with([](SocketCrown& c) { c.spacing = 54; }), "socket-into-steerer", "left between");
  expect_refused(with([](SocketCrown& c) { c.spacing = 48; }), "socket-into-steerer", "into the steerer");
  expect_refused(with([](SocketCrown& c) { c.width = 19; }), "socket-too-narrow", "24.0 mm across");
  expect_refused(with([](SocketCrown& c) { c.depth = 19; }), "socket-too-narrow", "fore and aft");
  expect_refused(with([](SocketCrown& c) { c.width = 28; }), "socket-too-wide", "2.0 mm of air");
  expect_refused(with([](SocketCrown& c) { c.lean = 0.0_deg; }), "socket-another-way", "forward");
  expect_refused(with([](SocketCrown& c) { c.splay = 8.0_deg; }), "socket-another-way", "splay");
}

TEST(SocketCrown, BoringWithinTheWallIsNoReasonToRefuse) {
  // half a millimetre to bore away a side, of a wall of three
  EXPECT_TRUE(lay_out(with([](SocketCrown& c) { c.width = c.depth = 23; })));
}

}  // namespace
}  // namespace halfround::layout
