// A blade whose stock is longer than its shape, at either end.
#include "bike/blade.h"

#include <gtest/gtest.h>

namespace halfround::bike {
namespace {

Blade bent() {
  Blade b;
  b.stations = {{0, 16, 16, 1.2}, {220, 22, 27, 1}, {430, 24, 30, 1}};
  b.runs = {{60, 0, 0}, {60, 0.3, kForward}, {225, 0, 0}, {75 * 1.25, 1.25, kInward}, {12.95, 0, 0}};
  b.stock_length = 451.7;
  return b;
}

Blade traced() {
  Blade b = bent();
  b.runs.clear();
  b.traced = {Vec3(0, 0, 0), Vec3(4, 0, 120), Vec3(6, -2, 250), Vec3(6, -10, 330), Vec3(6, -60, 400)};
  b.stock_length = shape::Centreline::through(b.traced, Vec3::UnitY()).length();
  return b;
}

TEST(Blade, TheTubeIsTheWholeStockWhereverTheExtraLies) {
  for (const Blade& told : {bent(), traced()}) {
    const shape::Tube plain = on_bench(told);
    for (const double below : {0.0, 7.0, 20.0}) {
      Blade b = told;
      b.below_shape = below, b.stock_length = told.stock_length + 20;
      const shape::Tube tube = on_bench(b);
      EXPECT_NEAR(tube.length(), b.stock_length, 1e-9);
      // the shape itself is the same, and so are its sections, moved up by what lies below
      const Vec3 shift = tube.centreline.point(below) - plain.centreline.point(0);
      for (double s = 0; s < plain.length(); s += 3.1) {
        EXPECT_LT((tube.centreline.point(s + below) - plain.centreline.point(s) - shift).norm(), 1e-9) << s;
        EXPECT_NEAR(tube.profile.width(s + below), plain.profile.width(s), 1e-12) << s;
      }
      EXPECT_NEAR(tube.profile.width(0), told.stations.front().width, 1e-12) << "as at the tip, below it";
    }
  }
}

}  // namespace
}  // namespace halfround::bike
