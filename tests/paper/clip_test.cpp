#include "paper/clip.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "paper/draughting.h"
#include "paper/hatch.h"
#include "scene.h"

namespace halfround::paper {
namespace {

double area_of(const std::vector<Vec2>& ring) {
  double twice = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 &a = ring[i], &b = ring[(i + 1) % ring.size()];
    twice += a.x() * b.y() - a.y() * b.x();
  }
  return twice / 2;
}

std::vector<Vec2> some_points() {
  const int count = *rc::gen::inRange(3, 12);
  std::vector<Vec2> points;
  for (int i = 0; i < count; ++i)
    points.emplace_back(*rc::gen::inRange(-20000, 20000) / 100.0 + 0.003,
                        *rc::gen::inRange(-20000, 20000) / 100.0 + 0.007);
  return points;
}

// a grid of boxes over -200..200 that meet without overlap
std::vector<Box> grid() {
  std::vector<Box> boxes;
  for (int i = -2; i < 2; ++i)
    for (int j = -2; j < 2; ++j)
      boxes.push_back({{100.5 * i, 100.5 * j}, {100.5 * (i + 1), 100.5 * (j + 1)}});
  return boxes;
}

RC_GTEST_PROP(Clip, PartsInMeetingBoxesAddUpToTheWholePath, ()) {
  const bool closed = *rc::gen::arbitrary<bool>();
  const Path path{.points = some_points(), .closed = closed, .stroke = {.dash = Dash::chain}};
  double sum = 0;
  for (const Box& box : grid())
    for (const Path& part : clipped(path, box)) {
      sum += length_of(part);
      for (const Vec2& p : part.points)
        RC_ASSERT(p.x() > box.min.x() - 1e-9 && p.x() < box.max.x() + 1e-9 && p.y() > box.min.y() - 1e-9 &&
                  p.y() < box.max.y() + 1e-9);
    }
  RC_ASSERT(std::abs(sum - length_of(path)) < 1e-6);
}

RC_GTEST_PROP(Clip, RingsInMeetingBoxesAddUpToTheWholeArea, ()) {
  const std::vector<Vec2> ring = some_points();
  double sum = 0;
  for (const Box& box : grid()) sum += area_of(clipped_ring(ring, box));
  RC_ASSERT(std::abs(sum - area_of(ring)) < 1e-5);
}

TEST(Clip, DashesGoOnWhereTheNeighbourStopped) {
  const Path path{.points = {{0, 5}, {30, 5}, {30, 40}}, .stroke = {.dash = Dash::dashed}};
  const auto parts = clipped(path, {{20, 0}, {50, 50}});
  ASSERT_EQ(parts.size(), 1u);
  EXPECT_DOUBLE_EQ(parts[0].dash_from, 20);
  EXPECT_EQ(parts[0].points.size(), 3u);
}

TEST(Clip, AClosedPathCutOnceStaysOnePiece) {
  const Path square = rectangle({{0, 0}, {10, 10}});
  const auto parts = clipped(square, {{-5, -5}, {6, 20}});
  ASSERT_EQ(parts.size(), 1u);
  EXPECT_NEAR(length_of(parts[0]), 22, 1e-12);
  EXPECT_EQ(clipped(square, {{-5, -5}, {60, 20}}).at(0).closed, true);
}

TEST(Clip, NothingOutsideComesBack) {
  EXPECT_TRUE(clipped(Item(line({0, 0}, {10, 0})), {{0, 5}, {10, 10}}).empty());
  EXPECT_TRUE(clipped(Item(Text{.at = {0, 0}, .text = "far"}), {{50, 50}, {60, 60}}).empty());
  EXPECT_EQ(clipped(Item(Text{.at = {49, 55}, .text = "near"}), {{50, 50}, {60, 60}}).size(), 1u);
  EXPECT_TRUE(clipped(Item(Path{}), {{0, 0}, {1, 1}}).empty());
}

TEST(Hatch, FillsARingByEvenOddWithLinesOfOneGrid) {
  Area area{.rings = {{{0, 0}, {40, 0}, {40, 30}, {0, 30}}, circle({20, 15}, 10).points}, .spacing = 1};
  double length = 0;
  for (const auto& [a, b] : hatch_lines(area)) {
    length += (b - a).norm();
    const double across = (a.y() - a.x()) / std::sqrt(2.0);
    EXPECT_NEAR(across, std::round(across), 1e-9);
    EXPECT_GT((0.5 * (a + b) - Vec2(20, 15)).norm(), 10 - 1e-2);
  }
  EXPECT_NEAR(length, 1200 - 100 * base::kPi, 12);  // lines 1 mm apart measure the area
}

TEST(Hatch, IsEmptyWhereThereIsNothingToFill) {
  EXPECT_TRUE(hatch_lines({.rings = {}}).empty());
  EXPECT_TRUE(hatch_lines({.rings = {{{1, 1}}}}).empty());
  EXPECT_TRUE(hatch_lines({.rings = {{{0, 0}, {9, 0}, {9, 9}}}, .spacing = 0}).empty());
}

}  // namespace
}  // namespace halfround::paper
