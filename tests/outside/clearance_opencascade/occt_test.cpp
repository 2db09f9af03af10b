// Our separations against OpenCASCADE's BRepExtrema_DistShapeShape on the same surfaces, both exact there.
#include <gtest/gtest.h>

#include <random>

#include "outside/clearance/occt_wheel.h"
#include "shape/separation.h"

namespace halfround::shape {
namespace {

/// What it promises of a distance is not told; its extrema were seen 1e-5 mm above the dense search.
constexpr double kAgree = 1e-4;

TEST(OpenCascadeDistance, TyreToTaperedOvalTubes) {
  std::mt19937_64 random(5);
  const auto in = [&](double lo, double hi) {
    return std::uniform_real_distribution<double>(lo, hi)(random);
  };
  const Tube tyre = occt::scene_tyre();
  const TopoDS_Shape theirs = occt::revolved_ring(tyre);
  double worst_over = 0, worst_under = 0;
  for (int i = 0; i < 6; ++i) {
    const Vec3 t = Vec3(in(-0.3, 0.3), in(-0.12, 0.1), 1).normalized();
    const Tube tube = occt::scene_blade(Vec3(in(-40, 40), in(78, 95), in(60, 120)), t);
    const double ours = separation(tube, 0, tube.length(), Body::ring(tyre)).gap.value;
    const double d = BRepExtrema_DistShapeShape(theirs, occt::ruled(tube, 0, tube.length())).Value();
    worst_over = std::max(worst_over, ours - d), worst_under = std::max(worst_under, d - ours);
    EXPECT_NEAR(ours, d, kAgree) << i;
  }
  std::printf("straight: ours over theirs %.2g mm, under %.2g mm\n", worst_over, worst_under);
}

TEST(OpenCascadeDistance, TyreToBentOvalTubes) {
  std::mt19937_64 random(6);
  const auto in = [&](double lo, double hi) {
    return std::uniform_real_distribution<double>(lo, hi)(random);
  };
  const Tube tyre = occt::scene_tyre();
  const TopoDS_Shape theirs = occt::revolved_ring(tyre);
  for (int i = 0; i < 4; ++i) {
    Tube tube;
    tube.centreline = Centreline::from_runs({{110, 1.1, in(0, 6)}}, Vec3(in(-30, 30), in(75, 90), 270),
                                            Vec3(in(-0.2, 0.2), in(-0.3, 0), 1).normalized(), Vec3::UnitX());
    tube.profile = Profile({{0, 24, 30, 1, nullptr}});
    const double ours = separation(tube, 0, tube.length(), Body::ring(tyre)).gap.value;
    const double d = BRepExtrema_DistShapeShape(theirs, occt::revolved(tube)).Value();
    std::printf("bent: ours %.9f, theirs %.9f\n", ours, d);
    if (d > 1e-6) {
      EXPECT_NEAR(ours, d, kAgree) << i;
    }
  }
}

}  // namespace
}  // namespace halfround::shape
