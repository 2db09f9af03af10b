#include "paper/draughting.h"

#include <gtest/gtest.h>

#include <cmath>

#include "paper/clip.h"
#include "paper/typeface.h"
#include "scene.h"

namespace halfround::paper {
namespace {

template <class T>
std::vector<T> all(const Items& items) {
  std::vector<T> out;
  for (const Item& item : items)
    if (const auto* it = std::get_if<T>(&item)) out.push_back(*it);
  return out;
}

std::vector<Path> heads(const Items& items) {
  std::vector<Path> out;
  for (const Path& p : all<Path>(items))
    if (p.filled) out.push_back(p);
  return out;
}

TEST(Draughting, ArcsKeepTheChordErrorAndEndExactly) {
  for (const double radius : {0.5, 14.3, 340.0}) {
    const auto points = arc_points({3, 4}, radius, 0, base::kPi / 2);
    EXPECT_NEAR((points.back() - Vec2(3, 4 + radius)).norm(), 0, 1e-12);
    for (std::size_t i = 1; i < points.size(); ++i)
      EXPECT_LE(radius - (0.5 * (points[i] + points[i - 1]) - Vec2(3, 4)).norm(), kChordError + 1e-9);
  }
}

TEST(Draughting, TextReadsFromTheBottomOrFromTheRight) {
  for (int deg = -360; deg <= 360; deg += 5) {
    const double turn = readable_turn({std::cos(base::to_rad(deg)), std::sin(base::to_rad(deg))});
    EXPECT_GT(turn, -base::kPi / 2 + 1e-9) << deg;
    EXPECT_LE(turn, base::kPi / 2 + 2e-6) << deg;
  }
  EXPECT_DOUBLE_EQ(readable_turn({0, -1}), base::kPi / 2);
  EXPECT_DOUBLE_EQ(readable_turn({-1, 0}), 0);
}

TEST(Draughting, ArrowHeadsAreFifteenDegreesWide) {
  const Path head = arrow_head({0, 0}, {1, 0}, 3);
  const Vec2 a = head.points[1], b = head.points[2];
  EXPECT_NEAR(std::acos(a.dot(b) / a.norm() / b.norm()), base::to_rad(15), 1e-12);
  EXPECT_THROW(static_cast<void>(arrow_head({0, 0}, {0, 0})), base::Bug);
}

TEST(Draughting, ALongDimensionHasItsArrowsInsideAndItsTextAboveTheLine) {
  const Items items = dimension_linear({0, 0}, {60, 0}, 10, "60.0");
  const auto tips = heads(items);
  ASSERT_EQ(tips.size(), 2u);
  EXPECT_EQ(tips[0].points[0], Vec2(0, 10));
  EXPECT_GT(tips[0].points[1].x(), 0);
  EXPECT_EQ(tips[1].points[0], Vec2(60, 10));
  const Text text = all<Text>(items).at(0);
  EXPECT_NEAR(text.at.x(), 30, 1e-12);
  EXPECT_GT(text.at.y(), 10);
}

TEST(Draughting, AShortDimensionHasItsArrowsOutsideAndItsTextBeside) {
  const Items items = dimension_linear({0, 0}, {3, 0}, 10, "3.0 wide");
  EXPECT_LT(heads(items)[0].points[1].x(), 0);
  EXPECT_GT(heads(items)[1].points[1].x(), 3);
  const Text text = all<Text>(items).at(0);
  EXPECT_GT(text.at.x() - text_width(text.text, text.height) / 2, 3 + 2.5);
}

TEST(Draughting, AnUprightDimensionMeasuresOnlyItsDirection) {
  const Items items = dimension_along({0, 0}, {30, 40}, {0, 1}, -50, "40.0");
  const auto tips = heads(items);
  EXPECT_NEAR((tips[0].points[0] - Vec2(50, 0)).norm(), 0, 1e-12);
  EXPECT_NEAR((tips[1].points[0] - Vec2(50, 40)).norm(), 0, 1e-12);
  EXPECT_NEAR(all<Text>(items).at(0).turn, base::kPi / 2, 1e-12);
  EXPECT_TRUE(dimension_along({0, 0}, {1, 1}, {0, 0}, 5, "x").empty());
}

TEST(Draughting, AZeroDimensionAndAZeroLeaderDrawNothingImpossible) {
  Page page = small_scene();
  add(page.groups[0], dimension_linear({5, 5}, {5, 5}, 8, "0.0"));
  add(page.groups[0], leader({5, 5}, {5, 5}, "here"));
  add(page.groups[0], dimension_angle({5, 5}, 1, 1, 20, "0.0°"));
  EXPECT_NO_THROW(static_cast<void>(to_text({.stem = "", .title = "", .pages = {page}})));
}

TEST(Draughting, AngleArrowsLieOnTheirArc) {
  const Items items = dimension_angle({0, 0}, 0, base::to_rad(40), 60, "40.0°");
  for (const Path& head : heads(items)) {
    EXPECT_NEAR(head.points[0].norm(), 60, 1e-9);
    EXPECT_NEAR((0.5 * (head.points[1] + head.points[2])).norm(), 60, 0.02);
  }
}

TEST(Furniture, NeverReachesIntoTheContentBox) {
  for (const Vec2& size : {Vec2(210, 297), Vec2(215.9, 279.4), Vec2(420, 640), Vec2(297, 210)}) {
    Page page{.width = size.x(), .height = size.y(), .name = "", .groups = {}};
    furnish(page, {.job = std::string(300, 'W'),
                   .sheet = std::string(300, 'W'),
                   .revision = std::string(99, 'W'),
                   .note = std::string(300, 'W')});
    const Box box = content_box(size.x(), size.y());
    for (const Group& group : page.groups) {
      EXPECT_TRUE(is_furniture(group));
      for (const Item& item : group.items) {
        const Box b = *bounds_of({item});
        EXPECT_GE(b.min.x(), 5.9);
        EXPECT_LE(b.max.x(), size.x() - 5.9);
        const bool round_it = b.max.y() > box.max.y() && b.min.y() < box.min.y();  // the border
        EXPECT_TRUE(round_it || b.max.y() < box.min.y()) << b.max.y();
      }
    }
  }
  EXPECT_THROW(static_cast<void>(content_box(100, 100)), base::Bug);
}

TEST(Furniture, SquareIsFiftyMillimetresBothWays) {
  Page page{.name = "", .groups = {}};
  furnish(page, scene_title());
  const auto& square = std::get<Path>(page.groups.back().items.front());
  const Box box = *bounds_of({Item(square)});
  EXPECT_NEAR(box.width(), 50, 1e-12);
  EXPECT_NEAR(box.height(), 50, 1e-12);
}

}  // namespace
}  // namespace halfround::paper
