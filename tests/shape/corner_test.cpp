// The nearest place on a ring where the section has a corner: a blade that is widest at one ring.
#include <gtest/gtest.h>

#include <cmath>

#include "shape/distance.h"

namespace halfround::shape {
namespace {

/// Beside a wheel whose tyre is 60 mm thick; the tube goes up past it, widest at 150.
struct Scene {
  Tube tube, tyre;
};
Scene scene(double height, double lean) {
  Scene out;
  const Vec3 along = Vec3(0, std::sin(lean), std::cos(lean));
  out.tube = {Centreline::from_runs({{300, 0, 0}}, Vec3(0, 55, 0), along, Vec3::UnitY()),
              Profile({{0, 18, 18, 1}, {150, 26, 30, 1}, {300, 18, 18, 1}})};
  out.tyre = {Centreline::circle(Vec3(10, 0, height - 300), Vec3::UnitY(), 300), Profile::round(60, 0)};
  return out;
}

double dense(const Scene& s) {
  double least = INFINITY, u0 = 0, s0 = 0, du = 0.1, ds = 2;
  const Body body = Body::ring(s.tyre);
  const auto look = [&](double u, double at) {
    const double d = body.distance(surface(s.tube, base::unit_at(u), at).p).value;
    if (d < least) least = d, u0 = u, s0 = at;
  };
  for (double u = 0; u < 2 * base::kPi; u += du)
    for (double at = 0; at <= 300; at += ds) look(u, at);
  for (int round = 0; round < 24; ++round) {
    const double u = u0, at = s0;
    for (int i = -10; i <= 10; ++i)
      for (int k = -10; k <= 10; ++k) look(u + i * du / 5, std::clamp(at + k * ds / 5, 0.0, 300.0));
    du *= 0.5, ds *= 0.5;
    look(u0, 150);
  }
  return least;
}

TEST(Corner, TheNearestPlaceOnTheWidestRingIsFoundToTheLastDigit) {
  int on_the_ring = 0;
  for (const double height : {140.0, 149.0, 149.6, 150.0, 150.3, 151.0, 158.0}) {
    for (const double lean : {-0.02, 0.0, 0.015}) {
      const Scene s = scene(height, lean);
      const Gap found = least_gap(s.tube, 0, 300, s.tyre);
      EXPECT_NEAR(found.value, dense(s), 1e-6) << height << " " << lean;
      on_the_ring += std::abs(found.s - 150) < 1e-6;
    }
  }
  EXPECT_GT(on_the_ring, 5);
}

TEST(Corner, TheGapGoesEvenlyWhileTheTyreMovesPastIt) {
  double before = NAN;
  for (double height = 120; height < 180; height += 0.5) {
    const Scene s = scene(height, 0.01);
    const double gap = least_gap(s.tube, 0, 300, s.tyre).value;
    if (!std::isnan(before)) {
      EXPECT_LT(std::abs(gap - before), 0.5);
    }
    before = gap;
  }
}

}  // namespace
}  // namespace halfround::shape
