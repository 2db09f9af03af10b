// What a slot takes out of a tube, against plain geometry.
#include "study/slot.h"

#include <gtest/gtest.h>

#include <cmath>

#include "study/mass.h"
#include "parts.h"

namespace halfround::study {
namespace {

using base::Vec2;
using base::Vec3;

/// A tube up z from the origin, and a plate in the plane x = 0 5 mm thick, reaching to z = 20.
bike::Assembly tube_and_plate(double diameter, double wall, double thickness = 5) {
  bike::Assembly a;
  bike::Member m;
  m.part = "blade.left"_part;
  m.tube = {shape::Centreline::from_runs({{200, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX()),
            shape::Profile::round(diameter, wall)};
  m.s_end = m.stock_length = 200;
  a.members = {m};
  base::Pose X = base::Pose::Identity();
  X.linear().col(0) = Vec3::UnitY(), X.linear().col(1) = Vec3::UnitZ(), X.linear().col(2) = Vec3::UnitX();
  a.plates = {bike::make_plate("dropout.left"_part, X,
                               {{Vec2(-6, -30), 0}, {Vec2(6, -30), 0}, {Vec2(6, 20), 0}, {Vec2(-6, 20), 0}},
                               thickness)};
  a.joints = {{"blade.left"_part, bike::End::start, "dropout.left"_part, bike::JointKind::slotted}};
  return a;
}

/// Of a circle: the strip |x| <= h.
double strip(double r, double h) {
  return 2 * (h * std::sqrt(r * r - h * h) + r * r * std::asin(h / r));
}

TEST(SlotVolume, IsAStripOfTheRingTimesItsDepth) {
  for (const auto& [d, wall, t] : {std::tuple{20.0, 1.0, 5.0}, {16.0, 1.2, 6.0}, {12.5, 1.0, 3.0}}) {
    const bike::Assembly a = tube_and_plate(d, wall, t);
    const Volume v = slot_volume(a.members[0], bike::End::start, a.plates[0]);
    const double expected = 20 * (strip(d / 2, t / 2) - strip(d / 2 - wall, t / 2));
    EXPECT_NEAR(v.volume / expected, 1, 1e-7) << d;
    EXPECT_NEAR((v.moment / v.volume - Vec3(0, 0, 10)).norm(), 0, 1e-9);
  }
}

TEST(SlotVolume, TheMassStudyTakesItOut) {
  const bike::Assembly with = tube_and_plate(20, 1);
  bike::Assembly without = with;
  without.joints.clear();
  const Mass a = mass(with, {}), b = mass(without, {});
  const Volume slot = slot_volume(with.members[0], bike::End::start, with.plates[0]);
  EXPECT_GT(slot.volume, 100);
  EXPECT_NEAR(b.parts[0].volume - a.parts[0].volume, slot.volume, 1e-9);
  EXPECT_GT(a.parts[0].centre.z(), b.parts[0].centre.z()) << "what is left stands higher";
}

TEST(SlotVolume, APlateThatDoesNotReachTheTubeTakesNothing) {
  bike::Assembly a = tube_and_plate(20, 1);
  a.plates[0] = bike::moved(a.plates[0], base::Pose(Eigen::Translation3d(0, 0, -25)));
  EXPECT_EQ(slot_volume(a.members[0], bike::End::start, a.plates[0]).volume, 0);
}

}  // namespace
}  // namespace halfround::study
