// Outlines as seen from one side: exact where they can be compared with the surface itself.
#include "drawing/view.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sheet/answer_scene.h"

namespace halfround::drawing {
namespace {

/// How far something reaches in a direction.
double reach(const std::vector<Vec2>& points, const Vec2& direction) {
  double out = -INFINITY;
  for (const Vec2& p : points) out = std::max(out, p.dot(direction));
  return out;
}

/// The wheel's surface itself, densely.
std::vector<Vec2> surface_of(const shape::Tube& wheel, const View& view) {
  std::vector<Vec2> out;
  for (int i = 0; i < 2000; ++i)
    for (int k = 0; k < 120; ++k)
      out.push_back(
          view(shape::surface(wheel, base::unit_at(2 * base::kPi * k / 120), wheel.length() * i / 2000).p));
  return out;
}

TEST(Hull, ReachesAsFarAsTheWheelInEveryDirection) {
  const sheet::Solved s = sheet::solved_example("island-mail");
  const shape::Tube& tyre = s.answer.fork.assembly.tyre;
  for (const double tilt : {0.0, 0.02, 0.3, 1.2, 0.5 * base::kPi}) {
    for (const double turn : {0.0, 0.7}) {
      const Vec3 toward(std::cos(turn) * std::cos(tilt), std::sin(turn), std::cos(turn) * std::sin(tilt));
      const Vec3 right =
          Vec3(-std::sin(turn) * std::cos(tilt), std::cos(turn), -std::sin(turn) * std::sin(tilt));
      const View view{right, toward.cross(right), toward, {3, 5}};
      const std::vector<Vec2> outline = hull(tyre, view), all = surface_of(tyre, view);
      for (int k = 0; k < 90; ++k) {
        const Vec2 d = base::unit_at(2 * base::kPi * (k + 0.3) / 90);
        EXPECT_NEAR(reach(outline, d), reach(all, d), 0.006) << "tilt " << tilt << " turn " << turn;
      }
    }
  }
}

TEST(Hull, IsConvexAndTurnsToTheLeft) {
  const sheet::Solved s = sheet::solved_example("island-mail");
  const View view{Vec3(0, 1, 0), Vec3(-0.1, 0, std::sqrt(0.99)), Vec3(std::sqrt(0.99), 0, 0.1), {0, 0}};
  const std::vector<Vec2> outline = hull(s.answer.fork.assembly.tyre, view);
  const std::size_t n = outline.size();
  ASSERT_GT(n, 20u);
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 a = outline[(i + 1) % n] - outline[i], b = outline[(i + 2) % n] - outline[(i + 1) % n];
    EXPECT_GE(a.x() * b.y() - a.y() * b.x(), -1e-9) << i;
  }
  EXPECT_LE(outline.front().x(), reach(outline, {-1, 0}) * -1 + 0.01);
}

}  // namespace
}  // namespace halfround::drawing
