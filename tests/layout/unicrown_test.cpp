// The unicrown layout: wishes come out, shares add up, sides mirror, and what can't be had is said with its
// amount.
#include <gtest/gtest.h>

#include <cmath>

#include "layout/lay_out.h"
#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

using namespace base::literals;

double got(const Placed& p, Wish wish) {
  switch (wish) {
    case Wish::clearance:
      return p.clearance.value;
    case Wish::crown_height:
      return p.crown_height;
    case Wish::top_angle:
      return p.top_angle;
    case Wish::splay:
      return p.splay;
    case Wish::lower_trim:
      return p.lower_trim;
    case Wish::upper_trim:
    case Wish::spacing:
      break;
  }
  return NAN;
}

TEST(Unicrown, TheWishesComeOut) {
  const auto fork = lay_out(scene());
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  EXPECT_NEAR(fork->left.crown_height, 34, 1e-6);
  EXPECT_NEAR(fork->left.clearance.value, 8, 1e-6);
}

TEST(Unicrown, EveryPairOfWishesLeadsBackToTheSameFork) {
  const auto first = lay_out(scene());
  ASSERT_TRUE(first);
  const Wish all[] = {Wish::clearance, Wish::crown_height, Wish::top_angle, Wish::splay, Wish::lower_trim};
  for (const Wish a : all) {
    for (const Wish b : all) {
      if (a == b) continue;
      // where the straight run above the bend meets the steerer, splay and top angle are one wish, not two
      if ((a == Wish::top_angle && b == Wish::splay) || (a == Wish::splay && b == Wish::top_angle)) continue;
      Intent intent = scene();
      intent.wishes = {Wished{a, got(first->left, a)}, Wished{b, got(first->left, b)}};
      intent.near_splay = first->left.splay;
      const auto again = lay_out(intent);
      ASSERT_TRUE(again) << name_of(a) << " + " << name_of(b) << ": " << base::sentence(again.error());
      EXPECT_NEAR(again->left.splay, first->left.splay, 1e-6) << name_of(a) << " + " << name_of(b);
      EXPECT_NEAR(again->left.lower_trim, first->left.lower_trim, 1e-4) << name_of(a) << " + " << name_of(b);
    }
  }
}

TEST(Unicrown, TheBladeEndsWhereItShouldAndReachesTheSteerer) {
  const Intent intent = scene();
  const auto fork = lay_out(intent);
  ASSERT_TRUE(fork);
  const bike::Member* blade = bike::find_member(fork->assembly, "blade.left"_part);
  const base::Vec3 low = blade->tube.centreline.point(blade->s_start),
                   top = blade->tube.centreline.point(blade->s_end);
  EXPECT_NEAR((low - base::Vec3(44, 60, -400)).norm(), 0, 1e-9);
  EXPECT_NEAR(top.y(), 0, 1e-9);
  EXPECT_NEAR(top.x(), 0, 1e-9);
  EXPECT_NEAR(top.z(), -34, 1e-6);
}

TEST(Unicrown, TheSharesAddUpWhicheverTakesTheRemainder) {
  for (const Share remainder : {Share::tilt, Share::mitre_offset, Share::dropout_lead}) {
    Intent intent = scene();
    intent.given_shares = {30.0, 6.0, std::nullopt, 4.0};
    intent.given_shares[static_cast<std::size_t>(remainder)].reset();
    intent.remainder = remainder;
    const auto fork = lay_out(intent);
    ASSERT_TRUE(fork) << base::sentence(fork.error());
    EXPECT_NEAR(fork->left.shares.sum(), intent.offset, 1e-9);
    if (remainder != Share::tilt) {
      EXPECT_NEAR(fork->left.shares.tilt, 30, 1e-9);
    }
    if (remainder != Share::mitre_offset) {
      EXPECT_NEAR(fork->left.shares.mitre_offset, 6, 1e-9);
    }
    const bike::Member* blade = bike::find_member(fork->assembly, "blade.left"_part);
    EXPECT_NEAR(blade->tube.centreline.point(blade->s_end).x(), fork->left.shares.mitre_offset, 1e-9);
    EXPECT_NEAR(blade->tube.centreline.point(blade->s_start).x(),
                intent.offset - fork->left.shares.dropout_lead, 1e-9);
  }
}

bike::Blade raked_blade() {
  bike::Blade blade = scene_blade();
  blade.runs = {
      {60, 0, 0}, {90, 0.2, bike::kForward}, {195, 0, 0}, {75.0 * 1.25, 1.25, bike::kInward}, {32, 0, 0}};
  return blade;
}

TEST(Unicrown, ARakedBladeBringsItsShareAndCanTakeTheRemainder) {
  Intent intent = scene();
  intent.left = raked_blade();
  const auto fork = lay_out(intent);
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  EXPECT_GT(fork->left.shares.rake, 8);
  EXPECT_NEAR(fork->left.shares.sum(), 44, 1e-9);
  intent.remainder = Share::rake;
  intent.given_shares[static_cast<std::size_t>(Share::tilt)] = 30.0;
  const auto bent = lay_out(intent);
  ASSERT_TRUE(bent) << base::sentence(bent.error());
  EXPECT_NEAR(bent->left.shares.rake, 14, 1e-6);
  EXPECT_NE(bent->left.rake_scale, 1);
}

TEST(Unicrown, AnOffsetNoShareCanMakeUpIsSaidWithTheAmount) {
  Intent intent = scene();
  intent.remainder.reset();
  intent.given_shares = {40.0, 0.0, std::nullopt, 0.0};
  const auto fork = lay_out(intent);
  ASSERT_FALSE(fork);
  EXPECT_EQ(fork.error().code, "offset-unreachable");
  EXPECT_NE(fork.error().what.find("4.00 mm less than the 44.00 mm"), std::string::npos) << fork.error().what;
}

TEST(Unicrown, AWishOutOfReachIsAnsweredWithTheNearest) {
  // at every height the tenth that it says can be had, the next one can't
  for (double height = 30; height < 38; height += 0.37) {
    Intent intent = scene();
    intent.wishes = {Wished{Wish::clearance, 60}, Wished{Wish::crown_height, height}};
    const auto fork = lay_out(intent);
    ASSERT_FALSE(fork) << height;
    ASSERT_EQ(fork.error().code, "wish-unreachable") << height;
    double nearest = 0;
    ASSERT_EQ(std::sscanf(fork.error().fits.c_str(), "Ask for a tyre clearance of %lf mm", &nearest), 1)
        << fork.error().fits;
    intent.wishes[0].value = nearest;
    EXPECT_TRUE(lay_out(intent)) << height << ": " << nearest;
    intent.wishes[0].value = nearest + 0.1;
    EXPECT_FALSE(lay_out(intent)) << height << ": " << nearest;
  }
}

TEST(Unicrown, ABladeWithoutABendNeverReachesTheSteerer) {
  Intent intent = scene();
  intent.left.runs = {{470, 0, 0}};
  intent.left.stock_length = 470;
  intent.wishes = {Wished{Wish::splay, 0.0}, Wished{Wish::lower_trim, 40}};
  const auto fork = lay_out(intent);
  ASSERT_FALSE(fork);
  EXPECT_EQ(fork.error().code, "blade-misses-steerer");
}

TEST(Unicrown, DifferentSidesAreLaidOutEachByItself) {
  Intent intent = scene();
  intent.right = scene_blade();
  for (auto& st : intent.right->stations) st.width += 3;
  const auto fork = lay_out(intent);
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  EXPECT_FALSE(fork->mirrored);
  EXPECT_NEAR(fork->right.clearance.value, 8, 1e-6);
  EXPECT_GT(std::abs(fork->right.splay - fork->left.splay), 1e-4);
  const bike::Member* right = bike::find_member(fork->assembly, "blade.right"_part);
  EXPECT_NEAR(right->tube.centreline.point(right->s_start).y(), -60, 1e-9);
}

TEST(Unicrown, EqualSidesGivenTwiceAreTheMirrorImage) {
  Intent intent = scene();
  const auto once = lay_out(intent);
  intent.right = intent.left;
  const auto twice = lay_out(intent);
  ASSERT_TRUE(once && twice);
  const auto a = bike::find_member(once->assembly, "blade.right"_part),
             b = bike::find_member(twice->assembly, "blade.right"_part);
  for (double s = 0; s <= 460; s += 20) {
    EXPECT_NEAR((a->tube.centreline.point(s) - b->tube.centreline.point(s)).norm(), 0, 1e-9);
  }
}

TEST(Unicrown, TheTracedBladeLiesLikeTheSameBladeGivenAsPieces) {
  Intent intent = scene();
  const auto pieces = lay_out(intent);
  ASSERT_TRUE(pieces);
  const shape::Tube bench = bike::on_bench(intent.left);
  intent.left.traced.clear();
  for (double s = 0; s <= bench.length() + 1e-9; s += bench.length() / 60)
    intent.left.traced.push_back(bench.centreline.point(s));
  const auto traced = lay_out(intent);
  ASSERT_TRUE(traced) << base::sentence(traced.error());
  EXPECT_NEAR(traced->left.splay, pieces->left.splay, 1e-3);
  EXPECT_NEAR(traced->left.lower_trim, pieces->left.lower_trim, 0.2);
}

TEST(Unicrown, TheClearanceIsTheLeastOfADenseSearch) {
  const auto fork = lay_out(scene());
  ASSERT_TRUE(fork);
  const Placed& p = fork->left;
  double least = INFINITY;
  for (double s = p.lower_trim; s <= p.s_crown; s += 0.5) {
    for (int i = 0; i < 360; ++i) {
      const base::Vec3 q = shape::surface(p.tube, base::unit_at(i * base::kPi / 180), s).p;
      least = std::min(least, shape::distance(fork->assembly.tyre, q).value);
    }
  }
  EXPECT_LE(p.clearance.value, least + 1e-9);
  EXPECT_NEAR(p.clearance.value, least, 0.01);
}

TEST(Unicrown, TheSameIntentGivesTheSameBits) {
  const auto a = lay_out(scene()), b = lay_out(scene());
  ASSERT_TRUE(a && b);
  EXPECT_EQ(a->left.splay, b->left.splay);
  EXPECT_EQ(a->left.lower_trim, b->left.lower_trim);
}

}  // namespace
}  // namespace halfround::layout
