// Fewer points, the same line.
#include "paper/thinned.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace halfround::paper {
namespace {

TEST(Thinned, KeepsTheEndsAndStaysNearEveryPoint) {
  std::vector<Vec2> wave;
  for (int i = 0; i <= 1000; ++i) wave.emplace_back(0.5 * i, 3 * std::sin(0.02 * i));
  const std::vector<Vec2> few = thinned(wave, 0.004);
  EXPECT_EQ(few.front(), wave.front());
  EXPECT_EQ(few.back(), wave.back());
  EXPECT_LT(few.size(), wave.size() / 3);
  for (const Vec2& p : wave) {
    double nearest = INFINITY;
    for (std::size_t i = 1; i < few.size(); ++i) {
      const Vec2 d = few[i] - few[i - 1];
      const double t = std::clamp((p - few[i - 1]).dot(d) / d.squaredNorm(), 0.0, 1.0);
      nearest = std::min(nearest, (few[i - 1] + t * d - p).norm());
    }
    EXPECT_LE(nearest, 0.004 + 1e-12);
  }
}

TEST(Thinned, LeavesTwoPointsOfAStraightLine) {
  EXPECT_EQ(thinned({{0, 0}, {1, 1}, {2, 2}, {7, 7}}, 1e-6).size(), 2u);
  EXPECT_EQ(thinned({{1, 2}, {1, 2}, {1, 2}}, 1e-6).size(), 2u);
  EXPECT_EQ(thinned({{0, 0}, {5, 0}, {0, 0}}, 1e-6).size(), 3u);  // there and back
  EXPECT_TRUE(thinned({}, 1e-6).empty());
}

}  // namespace
}  // namespace halfround::paper
