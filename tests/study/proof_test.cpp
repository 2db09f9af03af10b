// The bench test read back: a fork with other walls is known by what it moves.
#include "study/proof.h"

#include <gtest/gtest.h>

#include <cmath>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

bike::Assembly scene_fork() {
  return layout::lay_out(layout::scene())->assembly;
}

bike::Assembly with_walls(bike::Assembly a, double share) {
  for (bike::Member& m : a.members) {
    if (m.part.kind != bike::PartKind::blade) continue;
    auto stations = m.tube.profile.stations();
    for (auto& s : stations) s.wall *= share;
    m.tube.profile = shape::Profile(stations);
  }
  return a;
}

TEST(Proof, AForkWithOtherWallsIsKnownByWhatItMoves) {
  const bike::Assembly drawn = scene_fork();
  const Strength now = *strength(drawn, {});
  for (const double share : {0.55, 0.7, 0.8, 1.5}) {
    const Strength built = *strength(with_walls(drawn, share), {});
    const ProofReading reading{proof_tests(built).front().moves, {}};
    const auto found = read_proof(drawn, now, reading);
    ASSERT_TRUE(found) << base::sentence(found.error());
    ASSERT_TRUE(found->wall_share) << share;
    EXPECT_NEAR(*found->wall_share, share, 1e-3);
    EXPECT_EQ(found->says == ProofSays::too_stiff, share > 1) << share;
  }
}

TEST(Proof, EachReadingSaysWhatItMeans) {
  const bike::Assembly drawn = scene_fork();
  const Strength now = *strength(drawn, {});
  const ProofTest t = proof_tests(now).front();
  ASSERT_GT(t.moves, 1);
  EXPECT_LT(t.moves, t.joints_give);
  EXPECT_LT(t.joints_give, t.wrong);
  const auto says = [&](double moved, std::optional<double> stayed = {}) {
    const auto found = read_proof(drawn, now, {moved, stayed});
    EXPECT_TRUE(found);
    return found->says;
  };
  EXPECT_EQ(says(t.moves), ProofSays::as_calculated);
  EXPECT_EQ(says(1.12 * t.moves + 0.1), ProofSays::joints_give);
  EXPECT_EQ(says(1.3 * t.moves), ProofSays::too_soft);
  EXPECT_EQ(says(0.7 * t.moves), ProofSays::too_stiff);
  EXPECT_EQ(says(t.moves, t.stays.value_or(0) + 0.1), ProofSays::as_calculated);
  EXPECT_EQ(says(t.moves, t.stays.value_or(0) + 0.5), ProofSays::bent);
}

TEST(Proof, WhatNoWallExplainsIsSaidToBeSo) {
  const bike::Assembly drawn = scene_fork();
  const Strength now = *strength(drawn, {});
  const auto found = read_proof(drawn, now, {20 * proof_tests(now).front().moves, {}});
  ASSERT_TRUE(found);
  EXPECT_FALSE(found->wall_share);
  EXPECT_EQ(found->says, ProofSays::too_soft);
}

TEST(Proof, WithoutALoadABenchCanCopyThereIsNone) {
  const bike::Assembly drawn = scene_fork();
  StrengthOptions options;
  options.left_out = {PublishedLoad::static_bending};
  const Strength now = *strength(drawn, options);
  EXPECT_TRUE(proof_tests(now).empty());
  EXPECT_EQ(read_proof(drawn, now, {5, {}}).error().code, "no-proof-test");
}

// a couple of numbers by hand: a cantilever's end moves as 1 / I, and thin walls carry I in proportion
TEST(Proof, HalfTheWallMovesTheBladesShareTwiceAsFar) {
  const bike::Assembly drawn = scene_fork();
  const double full = proof_tests(*strength(drawn, {})).front().moves;
  const double half = proof_tests(*strength(with_walls(drawn, 0.5), {})).front().moves;
  const double stiff = proof_tests(*strength(with_walls(drawn, 2.5), {})).front().moves;
  EXPECT_GT(half, full);
  EXPECT_LT(half, 2.2 * full);  // the steerer's share does not change
  EXPECT_LT(stiff, full);
}

}  // namespace
}  // namespace halfround::study
