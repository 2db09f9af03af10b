// What a tape shows along a bent tube, by arcs about the bend's centre.
#include "shape/tape.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfround::shape {
namespace {

using base::kPi;

/// 300 mm straight, 71 degrees at 75 mm toward `u`, 40 mm straight; round.
Tube hook(double u, double diameter) {
  const double angle = 71 * base::kRadPerDeg;
  return {Centreline::from_runs({{300, 0, 0}, {75 * angle, angle, u}, {40, 0, 0}}, Vec3::Zero(),
                                Vec3::UnitZ(), Vec3::UnitY()),
          Profile::round(diameter, 1)};
}

TEST(Tape, OnABendItShowsTheArcsOfTheSkin) {
  const double angle = 71 * base::kRadPerDeg;
  for (const double u : {0.0, kPi / 2, kPi, 3 * kPi / 2}) {
    const Tube tube = hook(u, 24);
    const Tape t = tape(tube, 0, tube.length());
    EXPECT_TRUE(t.bent);
    EXPECT_NEAR(t.centre, 340 + 75 * angle, 1e-9);
    EXPECT_NEAR(t.outside, 340 + 87 * angle, 1e-9) << "14.9 mm more than the centreline";
    EXPECT_NEAR(t.inside, 340 + 63 * angle, 1e-9);
    EXPECT_NEAR(std::remainder(t.clock_outside - u - kPi, 2 * kPi), 0, 1e-9)
        << "outside is away from the bend";
    EXPECT_GE(t.clock_outside, 0);
    // part of the bend only
    const Tape half = tape(tube, 300 + 75 * angle / 2, tube.length());
    EXPECT_NEAR(half.outside, 40 + 87 * angle / 2, 1e-9);
  }
}

TEST(Tape, OnAStraightStretchThereIsOneLengthOnly) {
  const Tube tube = hook(kPi, 24);
  const Tape t = tape(tube, 20, 290);
  EXPECT_FALSE(t.bent);
  EXPECT_EQ(t.centre, 270);
  EXPECT_EQ(t.outside, 270);
  EXPECT_EQ(t.inside, 270);
}

TEST(Tape, RingsMeasuredOnTheOutsideAreNearerToTheStartOnTheCentreline) {
  const double angle = 71 * base::kRadPerDeg;
  Tube tube = hook(kPi, 24);
  tube.profile = Profile({{0, 16, 16, 1}, {300, 24, 24, 1}, {300 + 87 * angle, 24, 24, 1}});
  const auto found = from_tape(tube, 0).profile.stations();
  EXPECT_EQ(found[0].s, 0);
  EXPECT_EQ(found[1].s, 300) << "a straight run stays as it is, tapered or not";
  EXPECT_NEAR(found[2].s, 300 + 75 * angle, 1e-9);
}

TEST(Tape, WhatATapeShowsOfATaperedBendIsFoundAgain) {
  Tube tube = hook(kPi, 24);
  tube.profile =
      Profile({{0, 16, 16, 1}, {200, 20, 22, 1}, {330, 24, 30, 1}, {380, 26, 31, 1}, {420, 27, 28, 1}});
  Tube shown = tube;
  auto stations = tube.profile.stations();
  for (Station& q : stations) {
    // the bend's share of the skin, summed finely over what of the bend lies below the ring
    const double end = std::min(q.s, 300 + 75 * 71 * base::kRadPerDeg), step = (end - 300) / 20000;
    double more = 0;
    for (int i = 0; i < 20000 && step > 0; ++i)
      more += tube.profile.at({1, 0}, 300 + (i + 0.5) * step).r / 75 * step;
    q.s += more;
  }
  shown.profile = Profile(stations);
  const Tube back = from_tape(shown, 0);
  for (std::size_t i = 0; i < stations.size(); ++i)
    EXPECT_NEAR(back.profile.stations()[i].s, tube.profile.stations()[i].s, 1e-6) << i;
}

TEST(Centreline, LengthenedItIsTheSameLineGoneOnStraight) {
  const double angle = 40 * base::kRadPerDeg;
  for (const bool bent_ends : {false, true}) {
    std::vector<shape::Run> runs{{90 * angle, angle, 1}, {50, 0, 0}, {60 * angle, angle, kPi}};
    if (!bent_ends) runs.insert(runs.begin(), {100, 0, 0}), runs.push_back({30, 0, 0});
    const Centreline line = Centreline::from_runs(runs, Vec3(1, 2, 3), Vec3::UnitZ(), Vec3::UnitY());
    const Centreline longer = line.lengthened(20, 7.5);
    EXPECT_NEAR(longer.length(), line.length() + 27.5, 1e-12);
    EXPECT_EQ(longer.pieces().size(), line.pieces().size() + (bent_ends ? 2 : 0))
        << "a straight end just grows";
    for (double s = -30; s < line.length() + 20; s += 1.7) {
      const Frame a = line.at(s), b = longer.at(s + 20);
      EXPECT_LT((a.c - b.c).norm() + (a.t - b.t).norm() + (a.m - b.m).norm(), 1e-10) << s;
    }
  }
  EXPECT_TRUE(Centreline::from_runs({{100, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitY())
                  .lengthened(10, 10)
                  .straight());
}

}  // namespace
}  // namespace halfround::shape
