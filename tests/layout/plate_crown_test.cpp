// Plates bored for steerer and blades. Numbers invented.
#include "layout/plate_crown.h"

#include <gtest/gtest.h>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

using base::kPi;
using base::Vec2;

TEST(PlateCrown, TheBandRoundTwoEqualDiscsIsARectangleWithRoundEnds) {
  const auto band = band_round({{{0, -50}, 20}, {{0, 50}, 20}});
  EXPECT_NEAR(bike::area(band), 100 * 40 + kPi * 400, 1e-9);
}

TEST(PlateCrown, TheBandTouchesEveryDiscAndCutsNone) {
  const std::vector<Disc> discs{{{0, 0}, 22}, {{3, 52}, 19}, {{3, -52}, 19}};
  const auto band = bike::sampled(band_round(discs), 1e-4);
  for (const Disc& d : discs) {
    double nearest = 1e9;
    for (std::size_t i = 0; i < band.size(); ++i) {
      const Vec2 a = band[i], e = band[(i + 1) % band.size()] - a;
      const double x = std::clamp((d.at - a).dot(e) / e.squaredNorm(), 0.0, 1.0);
      nearest = std::min(nearest, (a + x * e - d.at).norm());
    }
    EXPECT_NEAR(nearest, d.radius, 2e-4);
  }
}

TEST(PlateCrown, BladesAndSteererGoThroughTheMiddleOfTheirBores) {
  const Intent u = plate_scene();
  const auto fork = lay_out(u);
  ASSERT_TRUE(fork) << fork.error().what;
  ASSERT_EQ(fork->assembly.plates.size(), 4u);  // two plates, two caps
  int bored = 0;
  for (const bike::Joint& j : fork->assembly.joints) {
    if (j.kind != bike::JointKind::bored) continue;
    ++bored;
    const bike::Plate* p = bike::find_plate(fork->assembly, j.onto);
    const bike::Member* m = bike::find_member(fork->assembly, j.member);
    ASSERT_TRUE(p && m);
    const shape::Frame f = m->tube.centreline.at(j.s);
    const auto b = std::find_if(p->bores.begin(), p->bores.end(),
                                [&](const bike::Bore& q) { return q.takes == j.member; });
    ASSERT_NE(b, p->bores.end());
    EXPECT_NEAR((p->X_FP * Vec3(b->at.x(), b->at.y(), 0) - f.c).norm(), 0, 1e-9);
    EXPECT_NEAR((p->X_FP.linear() * b->axis - f.t).norm(), 0, 1e-9);
  }
  EXPECT_EQ(bored, 6);
  EXPECT_NEAR(fork->left.crown_height, 38, 1e-8);
  EXPECT_NEAR(2 * fork->left.y_crown, 108, 1e-6);
  EXPECT_NEAR(fork->left.shares.sum(), u.offset, 1e-9);
}

TEST(PlateCrown, NoMetalBetweenBoresIsRefusedWithWhatWouldFit) {
  Intent u = plate_scene();
  u.wishes[0].value = 56;
  u.tyre = bike::tyre_surface(*bike::tyre_from_designation("20-559", 15));
  const auto fork = lay_out(u);
  ASSERT_FALSE(fork);
  EXPECT_EQ(fork.error().code, "plate-bores-too-near");
  EXPECT_NE(fork.error().fits.find("farther apart"), std::string::npos);
}

}  // namespace
}  // namespace halfround::layout
