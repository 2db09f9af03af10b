#include "study/mass.h"

#include <gtest/gtest.h>

#include <cmath>

#include "layout_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

using base::kPi;

/// A blade along +x from 0 to `length` onto a steerer along z at x = length.
bike::Assembly tee(double diameter, double wall, double length, double steerer) {
  bike::Assembly a;
  bike::Member post, arm;
  post.part = "steerer"_part;
  post.tube = {
      shape::Centreline::from_runs({{200, 0, 0}}, Vec3(length, 0, -100), Vec3::UnitZ(), Vec3::UnitX()),
      shape::Profile::round(steerer, 1.6)};
  post.s_end = post.stock_length = 200;
  arm.part = "blade.left"_part;
  arm.tube = {shape::Centreline::from_runs({{length, 0, 0}}, Vec3::Zero(), Vec3::UnitX(), Vec3::UnitZ()),
              shape::Profile::round(diameter, wall)};
  arm.s_end = arm.stock_length = length;
  a.members = {post, arm};
  a.joints = {{"blade.left"_part, bike::End::end, "steerer"_part, bike::JointKind::mitred}};
  return a;
}

TEST(Mass, AStraightTubeWeighsItsAreaTimesItsLength) {
  bike::Assembly a = tee(25.4, 2, 300, 28.6);
  a.joints.clear();
  const Mass m = mass(a, {});
  ASSERT_TRUE(m.total);
  EXPECT_NEAR(*m.parts[1].mass, kPi / 4 * (25.4 * 25.4 - 21.4 * 21.4) * 300 * 7850e-9, 1e-12);
  EXPECT_NEAR((m.parts[1].centre - Vec3(150, 0, 0)).norm(), 0, 1e-9);
  EXPECT_NEAR(*m.total, *m.parts[0].mass + *m.parts[1].mass, 1e-15);
}

TEST(Mass, InertiaOfATubeAndOfAPlateIsTheTextbooks) {
  bike::Assembly a = tee(25.4, 2, 300, 28.6);
  a.joints.clear();
  bike::Plate plate;
  plate.part = "dropout.left"_part, plate.thickness = 5;
  plate.outline = {Vec3(0, 50, 0), Vec3(40, 50, 0), Vec3(40, 50, 30), Vec3(0, 50, 30)};
  a.plates.push_back(plate);
  const Mass m = mass(a, {});
  const PartMass& tube = m.parts[1];
  const double square = 12.7 * 12.7 + 10.7 * 10.7;
  EXPECT_NEAR(tube.inertia(0, 0), *tube.mass * square / 2, 1e-9 * tube.inertia(0, 0));
  EXPECT_NEAR(tube.inertia(1, 1), *tube.mass * (3 * square + 300 * 300) / 12, 1e-9 * tube.inertia(1, 1));
  const PartMass& flat = m.parts[2];
  EXPECT_NEAR(flat.inertia(0, 0), *flat.mass * (25 + 900) / 12.0, 1e-9);
  EXPECT_NEAR(flat.inertia(1, 1), *flat.mass * (1600 + 900) / 12.0, 1e-9);
  EXPECT_NEAR(flat.inertia(2, 2), *flat.mass * (1600 + 25) / 12.0, 1e-9);
}

TEST(Mass, FillerAddsItsWeightWhereItStands) {
  const bike::Assembly a = tee(25.4, 2, 300, 28.6);
  MassOptions options;
  options.more = {{"filler", 0.05, Vec3(300, 0, 0)}};
  const Mass bare = mass(a, {}), filled = mass(a, {}, options);
  EXPECT_NEAR(*filled.total, *bare.total + 0.05, 1e-12);
  EXPECT_NEAR(filled.about_steering, bare.about_steering + 0.05 * 300 * 300, 1e-6);
  options.other_densities = {{"steerer"_part, 15700}};
  EXPECT_NEAR(*mass(a, {}, options).parts[0].mass, 2 * *bare.parts[0].mass, 1e-12);
}

/// A saddle on a round tube at right angles: every fibre at height r sin v ends sqrt(R^2 - (r sin v)^2)
/// before the axis; summed finely here, through the whole wall. The study goes straight from the inner edge
/// to the outer: that is off by what a chord is, with the wall's square.
TEST(Mass, ASaddleTakesAwayWhatTheClosedFormSays) {
  const double D = 25.4, L = 200, R = 14.3;
  for (const auto& [wall, within] : {std::pair{2.0, 3e-4}, std::pair{1.0, 1e-4}, std::pair{0.4, 2e-5}}) {
    const bike::Assembly a = tee(D, wall, L, 2 * R);
    const auto cut = mitres(a, {});
    ASSERT_TRUE(cut) << base::sentence(cut.error());
    double volume = 0, moment = 0;
    const int n = 2000, k = 100;
    for (int i = 0; i < n; ++i) {
      for (int j = 0; j < k; ++j) {
        const double r = D / 2 - wall + wall * (j + 0.5) / k, y = r * std::sin(2 * kPi * (i + 0.5) / n);
        const double end = L - std::sqrt(R * R - y * y), part = r * wall / k * 2 * kPi / n;
        volume += part * end, moment += part * end * end / 2;
      }
    }
    const Mass m = mass(a, *cut);
    EXPECT_NEAR(m.parts[1].volume, volume, within * volume) << wall;
    EXPECT_NEAR(m.parts[1].centre.x(), moment / volume, within * L / 2) << wall;
  }
}

/// Pappus: a bend weighs as much as the straight tube; its centre stands I / (A R) outside the middle line's.
TEST(Mass, ABendFollowsPappus) {
  bike::Assembly a = tee(28.6, 2.3, 300, 28.6);
  a.joints.clear();
  const double R = 75, angle = kPi / 2;
  bike::Member& arm = a.members[1];
  arm.tube.centreline =
      shape::Centreline::from_runs({{R * angle, angle, 0}}, Vec3::Zero(), Vec3::UnitX(), Vec3::UnitZ());
  arm.tube.profile = shape::Profile::round(28.6, 2.3);
  arm.s_end = arm.stock_length = R * angle;
  const PartMass p = mass(a, {}).parts[1];
  const auto q = section_at(arm.tube.profile, 0);
  EXPECT_NEAR(p.volume, q->area * R * angle, 1e-9 * p.volume);
  const shape::Frame middle = arm.tube.centreline.at(R * angle / 2);
  const Vec3 hub = middle.c + R * R * middle.k;  // the bend's centre
  const double far = (R + q->I_m / (q->area * R)) * std::sin(angle / 2) / (angle / 2);
  EXPECT_NEAR((p.centre - hub).norm(), far, 1e-6);
}

TEST(Mass, AWholeForkIsTheSameMovedAndMirrored) {
  const auto fork = layout::lay_out(layout::scene());
  ASSERT_TRUE(fork);
  const auto of = [](const bike::Assembly& a) { return mass(a, *mitres(a, {})); };
  const Mass here = of(fork->assembly);
  ASSERT_TRUE(here.total);
  EXPECT_NEAR(here.centre.y(), 0, 1e-6);
  base::Pose X = base::Pose::Identity();
  X.rotate(Eigen::AngleAxisd(0.7, Vec3(1, 2, 3).normalized()));
  X.translation() = Vec3(10, -20, 30);
  const Mass there = of(bike::moved(fork->assembly, X));
  EXPECT_NEAR(*there.total, *here.total, 1e-6 * *here.total);
  EXPECT_NEAR((there.centre - X * here.centre).norm(), 0, 1e-3);
  EXPECT_NEAR(*of(bike::mirrored(fork->assembly)).total, *here.total, 1e-6 * *here.total);
  for (const PartMass& p : here.parts) {
    EXPECT_GT(*p.mass, 0.01) << p.part;
    EXPECT_LT(*p.mass, 0.6) << p.part;
  }
}

TEST(Mass, MoreDensityWeighsMoreAndAPlateIsItsAreaTimesItsThickness) {
  bike::Assembly a = tee(25.4, 2, 300, 28.6);
  a.joints.clear();
  bike::Plate plate;
  plate.part = "dropout.left"_part, plate.thickness = 6;
  plate.outline = {Vec3(0, 5, 0), Vec3(40, 5, 0), Vec3(40, 5, 30), Vec3(0, 5, 30)};
  a.plates = {plate};
  const Mass m = mass(a, {}, {.density_kg_m3 = 4480});
  EXPECT_NEAR(*m.parts[2].mass, 40 * 30 * 6 * 4480e-9, 1e-12);
  EXPECT_NEAR((m.parts[2].centre - Vec3(20, 5, 15)).norm(), 0, 1e-9);
  EXPECT_NEAR(*m.parts[1].mass / *mass(a, {}).parts[1].mass, 4480 / 7850.0, 1e-12);
}

TEST(Mass, WithoutAWallTheWeightIsUnknownNotZero) {
  bike::Assembly a = tee(25.4, 0, 300, 28.6);
  a.joints.clear();
  const Mass m = mass(a, {});
  EXPECT_TRUE(m.parts[0].mass);
  EXPECT_FALSE(m.parts[1].mass);
  EXPECT_FALSE(m.total);
  EXPECT_FALSE(section_at(a.members[1].tube.profile, 0));
}

}  // namespace
}  // namespace halfround::study
