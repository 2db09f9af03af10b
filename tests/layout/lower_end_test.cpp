// What takes the axle: an axle block's bores, its refusals with what would fit, and a dropout's open slot.
// Numbers invented.
#include "layout/lower_end.h"

#include <gtest/gtest.h>

#include <cstdio>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

using base::Vec2;

Intent block_scene() {
  Intent u = segmented_scene();
  u.lower_end = {.kind = LowerEndKind::axle_block};
  u.lower_end.blade_from_hub = 17.5, u.lower_end.rise = 22, u.lower_end.bore = 12;
  u.lower_end.thickness = 34, u.lower_end.socket_depth = 22, u.lower_end.edge = 4;
  return u;
}
bike::Plate block_of(const Intent& u, const bike::Part& name = "block.left"_part) {
  const auto fork = lay_out(u);
  EXPECT_TRUE(fork) << (fork ? "" : base::sentence(fork.error()));
  const bike::Plate* p = fork ? bike::find_plate(fork->assembly, name) : nullptr;
  EXPECT_TRUE(p);
  return p ? *p : bike::Plate{};
}
base::Problem refused(const Intent& u) {
  const auto fork = lay_out(u);
  EXPECT_FALSE(fork);
  return fork ? base::Problem{} : fork.error();
}

TEST(AxleBlock, ItsBoresStandWhereAxleAndBladeAre) {
  const Intent u = block_scene();
  const auto fork = lay_out(u);
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  for (const char* side : {"left", "right"}) {
    const bike::Plate* p = bike::find_plate(fork->assembly, part_of(std::string("block.") + side));
    const bike::Member* blade = bike::find_member(fork->assembly, part_of(std::string("blade.") + side));
    ASSERT_TRUE(p && blade);
    const double out = std::string(side) == "left" ? 1 : -1;
    EXPECT_NEAR(p->normal.y(), 1, 1e-12) << "its faces stand square to the axle";
    EXPECT_NEAR(p->X_FP.translation().y(), out * (u.over_locknut + u.lower_end.thickness) / 2, 1e-9)
        << "its inner face is the hub's";
    const bike::Bore* axle = bike::find_bore(*p, "axle"_part);
    const bike::Bore* socket = bike::find_bore(*p, blade->part);
    ASSERT_TRUE(axle && socket && socket->mouth);
    const Vec3 at = p->X_FP * Vec3(axle->at.x(), axle->at.y(), 0);
    EXPECT_NEAR(Vec2(at.x() - u.offset, at.z() + u.drop).norm(), 0, 1e-9);
    // the bottom of the socket is the blade's end, its axis the blade's own
    const Vec3 bottom = p->X_FP * Vec3(bike::bore_mouth(*p, *socket) + socket->depth * socket->axis);
    const shape::Frame f = blade->tube.centreline.at(blade->s_start);
    EXPECT_NEAR((bottom - f.c).norm(), 0, 1e-9);
    EXPECT_NEAR((p->X_FP.linear() * socket->axis + f.t).norm(), 0, 1e-9);
    // and its mouth lies on the block's edge
    double top = -1e9;
    for (const bike::Corner& c : p->corners) top = std::max(top, c.at.y());
    for (const Vec3& v : p->outline) top = std::max(top, (p->X_FP.inverse() * v).y());
    EXPECT_NEAR(socket->mouth->y(), top, 1e-6);
  }
}

TEST(AxleBlock, LeftAndRightAreMirrorImages) {
  const bike::Plate left = block_of(block_scene()),
                    other = bike::mirrored(block_of(block_scene(), "block.right"_part));
  ASSERT_EQ(left.bores.size(), other.bores.size());
  for (std::size_t i = 0; i < left.bores.size(); ++i) {
    const auto mouth = [](const bike::Plate& p, const bike::Bore& b) -> Vec3 {
      return p.X_FP * bike::bore_mouth(p, b);
    };
    if (left.bores[i].mouth) {
      EXPECT_NEAR((mouth(left, left.bores[i]) - mouth(other, other.bores[i])).norm(), 0, 1e-9);
    }
    EXPECT_NEAR(
        std::abs((left.X_FP.linear() * left.bores[i].axis).dot(other.X_FP.linear() * other.bores[i].axis)), 1,
        1e-12);
  }
  EXPECT_NEAR(bike::area(left.corners), bike::area(other.corners), 1e-9);
}

TEST(AxleBlock, WhatItRefusesFitsByTheAmountItSays) {
  Intent thin = block_scene();
  thin.lower_end.thickness = 24;
  const base::Problem a = refused(thin);
  EXPECT_EQ(a.code, "block-too-thin");
  double bar = 0, hub = 0;
  ASSERT_EQ(std::sscanf(a.fits.c_str(), "Take bar of %lf mm or more, with the blade %lf mm", &bar, &hub), 2)
      << a.fits;
  thin.lower_end.thickness = bar + 0.2, thin.lower_end.blade_from_hub = hub + 0.1;
  EXPECT_TRUE(lay_out(thin));

  Intent aside = block_scene();
  aside.lower_end.blade_from_hub = 9;
  const base::Problem b = refused(aside);
  EXPECT_EQ(b.code, "block-misses-blade");
  ASSERT_EQ(
      std::sscanf(b.fits.c_str(), "The socket stands in the middle of the block with the blade %lf mm", &hub),
      1)
      << b.fits;
  aside.lower_end.blade_from_hub = hub;
  EXPECT_TRUE(lay_out(aside));

  Intent low = block_scene();
  low.lower_end.rise = 8;
  const base::Problem c = refused(low);
  EXPECT_EQ(c.code, "block-too-low");
  double rise = 0;
  ASSERT_EQ(std::sscanf(c.fits.c_str(), "Give a rise of %lf mm", &rise), 1) << c.fits;
  low.lower_end.rise = rise + 0.1;
  EXPECT_TRUE(lay_out(low));
  low.lower_end.rise = rise - 0.3;
  EXPECT_FALSE(lay_out(low));
}

TEST(Dropout, ItsSlotIsOpenBelowAndEndsRoundTheAxle) {
  for (const double width : {9.0, 12.0}) {
    Intent u = segmented_scene();
    u.lower_end = {.kind = LowerEndKind::tab_dropout};
    u.lower_end.blade_from_hub = 4, u.lower_end.rise = 24, u.lower_end.thickness = 6;
    u.lower_end.slot_depth = 20, u.lower_end.slot_width = width;
    const bike::Plate p = block_of(u, "dropout.left"_part);
    const double round = width / 2 + 9;
    double least = 1e9, low = 1e9;
    for (const Vec2& q : bike::sampled(p.corners, 1e-3)) {
      least = std::min(least, q.norm()), low = std::min(low, q.y());
      EXPECT_FALSE(std::abs(q.x()) < width / 2 - 1e-9 && q.y() < 0) << "nothing stands in the slot";
    }
    EXPECT_NEAR(least, width / 2, 1e-9) << "the slot's end is round about the axle";
    EXPECT_NEAR(low, -std::sqrt(round * round - width * width / 4), 1e-9);
    // what the slot takes out of the plate without it: half a disc, and the strip below down to the arc
    std::vector<bike::Corner> whole{{{-round, 0}, base::kPi}};
    bool after = false;
    for (const bike::Corner& c : p.corners) {
      after = after || (c.at - Vec2(round, 0)).norm() < 1e-9;
      if (after) whole.push_back(c);
    }
    const double h = width / 2,
                 strip = h * std::sqrt(round * round - h * h) + round * round * std::asin(h / round);
    EXPECT_NEAR(bike::area(whole) - bike::area(p.corners), base::kPi * h * h / 2 + strip, 1e-9);
  }
}

}  // namespace
}  // namespace halfround::layout
