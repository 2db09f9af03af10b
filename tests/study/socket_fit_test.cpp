// The air round a blade in its socket, by hand.
#include "study/socket_fit.h"

#include <gtest/gtest.h>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

using namespace base::literals;
using base::Vec3;

/// A blade of 24 mm going 28 mm up into a crown's socket at the origin, leaning outward by `blade`, going
/// down 300 mm.
bike::Assembly one(double socket, double width, double depth, double blade) {
  bike::Assembly a;
  bike::Member m;
  m.part = "blade.left"_part;
  const Vec3 up(0, -std::sin(blade), std::cos(blade));
  const Vec3 mouth(0, 50, -17);
  m.tube = {shape::Centreline::from_runs({{328, 0, 0}}, mouth - 300 * up, up, Vec3::UnitX()),
            shape::Profile::round(24, 1.2)};
  m.s_end = m.stock_length = 328;
  a.members = {m};
  bike::Bore b{"blade.left"_part, {}, depth, Vec3(0, -std::sin(socket), std::cos(socket))};
  b.at = base::Vec2(0, 50 - 17 * std::tan(socket));
  if (width != depth) b.across = width;
  b.depth = 28;
  a.plates = {bike::make_plate("crown"_part, base::Pose::Identity(),
                               {{{-30, -80}, 0}, {{30, -80}, 0}, {{30, 80}, 0}, {{-30, 80}, 0}}, 34, {b})};
  a.joints = {{"blade.left"_part, bike::End::end, "crown"_part, bike::JointKind::bored, 314}};
  return a;
}

TEST(SocketFit, AStraightBladeHasHalfTheDifferenceAllRound) {
  const auto fits = socket_fits(one(2.0_deg, 24.3, 24.3, 2.0_deg));
  ASSERT_EQ(fits.size(), 1u);
  EXPECT_NEAR(fits[0].gap_least, 0.15, 1e-9);
  EXPECT_NEAR(fits[0].gap_most, 0.15, 1e-9);
  EXPECT_NEAR(fits[0].lean, 0, 1e-9);
  EXPECT_NEAR(fits[0].spread, 0, 1e-9);
  EXPECT_FALSE(fits[0].to_bore);
}

TEST(SocketFit, AnOvalSocketHasTwoWidths) {
  const auto fits = socket_fits(one(0, 24.2, 25, 0));
  EXPECT_NEAR(fits[0].gap_least, 0.1, 1e-9);
  EXPECT_NEAR(fits[0].gap_most, 0.5, 1e-9);
}

TEST(SocketFit, ABladeThatLeansComesNearestAtTheSocketsEndAndIsToldHowFarToSpread) {
  const auto fits = socket_fits(one(0, 24.3, 24.3, 1.0_deg));
  const SocketFit& f = fits[0];
  // 28 mm in, the middle has gone 28 tan 1 deg to one side; seen square to the socket the blade is 1/cos
  // longer
  EXPECT_NEAR(f.gap_least, 0.15 - 28 * std::sin(1.0_deg) - 12 * (std::cos(1.0_deg) - 1), 0.003);
  EXPECT_NEAR(f.lean, 1.0_deg, 1e-9);
  EXPECT_TRUE(f.to_bore);
  EXPECT_GT(f.bore_width, 24.3 + 2 * 0.4);
  // left upright, the lower end would stand 300 sin 1 deg farther in
  EXPECT_NEAR(f.spread, 300 * std::sin(1.0_deg), 1e-9);
  EXPECT_NEAR(f.forward, 0, 1e-9);
}

TEST(SocketFit, LeftAndRightAreMirrorImagesInALaidOutFork) {
  const auto fork = layout::lay_out(layout::socket_scene());
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  const auto fits = socket_fits(fork->assembly);
  ASSERT_EQ(fits.size(), 2u);
  EXPECT_NEAR(fits[0].gap_least, fits[1].gap_least, 1e-9);
  EXPECT_NEAR(fits[0].spread, fits[1].spread, 1e-9);
  EXPECT_NEAR(fits[0].forward, fits[1].forward, 1e-9);
  EXPECT_EQ(verdicts(fits).size(), 4u);
}

TEST(SocketFit, ABoreRightThroughIsNoSocket) {
  const auto fork = layout::lay_out(layout::plate_scene());
  ASSERT_TRUE(fork);
  EXPECT_TRUE(socket_fits(fork->assembly).empty());
}

}  // namespace
}  // namespace halfround::study
