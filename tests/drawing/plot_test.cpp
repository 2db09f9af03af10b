#include "drawing/plot.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/number.h"
#include "drawing/contour.h"

namespace halfround::drawing {
namespace {

Plot plain_plot() {
  return {.area = {{20, 30}, {120, 80}}, .x0 = 0, .x1 = 10, .y0 = -1, .y1 = 1};
}

std::vector<Text> texts_of(const Items& items) {
  std::vector<Text> out;
  for (const Item& item : items)
    if (const auto* text = std::get_if<Text>(&item)) out.push_back(*text);
  return out;
}

TEST(Ticks, StepByOneTwoOrFiveAndStayInTheRange) {
  for (const double from : {-7.3, 0.0, 0.013, 412.0}) {
    for (const double span : {0.002, 0.7, 1.0, 9.9, 64.0, 3500.0}) {
      for (const int about : {2, 4, 5, 8}) {
        const Ticks t = nice_ticks(from, from + span, about);
        const double digit = t.step / std::pow(10, std::floor(std::log10(t.step) + 1e-9));
        EXPECT_TRUE(std::abs(digit - 1) < 1e-9 || std::abs(digit - 2) < 1e-9 || std::abs(digit - 5) < 1e-9)
            << t.step;
        const double n = span / t.step;
        EXPECT_LT(std::abs(std::log(n / about)), 0.5 * std::log(2.5) + 1e-9) << from << " + " << span;
        for (const double v : t.values) {
          EXPECT_GE(v, from - 1e-6 * span);
          EXPECT_LE(v, from + span + 1e-6 * span);
          // what is printed is what is meant
          const double shown = std::stod(base::fixed(v, t.decimals));
          EXPECT_NEAR(shown, v, 1e-9 * std::max(1.0, std::abs(v)));
        }
      }
    }
  }
}

TEST(Ticks, BothEndsAreKeptWhereTheyAreTicks) {
  EXPECT_EQ(nice_ticks(0, 10, 5).values, (std::vector<double>{0, 2, 4, 6, 8, 10}));
  EXPECT_EQ(nice_ticks(-10, 10, 4).values, (std::vector<double>{-10, -5, 0, 5, 10}));
  EXPECT_EQ(nice_ticks(0.1, 0.3, 2).values.size(), 3u);
}

TEST(Plot, ACurveIsCutWhereItLeavesTheArea) {
  const Plot plot = plain_plot();
  const Items items = curve(plot, {{0, 0}, {5, 2}, {10, 0}}, {});
  ASSERT_EQ(items.size(), 2u);
  for (const Item& item : items) {
    for (const Vec2& p : std::get<Path>(item).points) {
      EXPECT_LE(p.y(), 80 + 1e-9);
      EXPECT_GE(p.y(), 55 - 1e-9);
    }
  }
  // it leaves at x = 2.5, a quarter of the way
  EXPECT_NEAR(std::get<Path>(items[0]).points.back().x(), 45, 1e-9);
}

TEST(Plot, NamesAtTheEndsKeepApartAndInOrder) {
  const Plot plot = plain_plot();
  const auto texts = texts_of(end_labels(plot, {{0.99, "c"}, {0.97, "a"}, {0.98, "b"}, {-1, "d"}}));
  ASSERT_EQ(texts.size(), 4u);
  for (std::size_t i = 1; i < texts.size(); ++i)
    EXPECT_GE(texts[i].at.y() - texts[i - 1].at.y(), 1.6 * plot.letters - 1e-9);
  EXPECT_EQ(texts[0].text + texts[1].text + texts[2].text + texts[3].text, "dabc");
  EXPECT_LE(texts.back().at.y(), plot.area.max.y() + plot.letters);
}

TEST(Plot, ColumnsOutsideTheLimitsAreHatched) {
  Plot plot = plain_plot();
  plot.y0 = 0, plot.y1 = 10;
  int hatched = 0, toned = 0;
  double area = 0;
  for (const Item& item : columns(plot, 1, 2, {2, 8, 5, 1}, 3, 100)) {
    const auto* a = std::get_if<Area>(&item);
    if (a) ++toned;
    const auto* path = std::get_if<Path>(&item);
    if (path && path->points.size() == 2) ++hatched;
    if (!a) continue;
    const auto& r = a->rings.at(0);
    for (std::size_t i = 0; i < r.size(); ++i)
      area += 0.5 * (r[i].x() * r[(i + 1) % r.size()].y() - r[(i + 1) % r.size()].x() * r[i].y());
  }
  EXPECT_EQ(toned, 3);
  EXPECT_GT(hatched, 3);
  // 8 + 5 + 1 counts, 20 mm wide and 5 mm a count
  EXPECT_NEAR(std::abs(area), 14 * 20 * 5, 1e-6);
}

TEST(Plot, RankedBarsAreAsLongAsTheirShares) {
  const Box box{{0, 0}, {90, 12}};
  std::vector<double> lengths;
  for (const Item& item : ranked_bars(box, {{"a", 1, "60 %"}, {"b", 0.5, "30 %"}, {"c", 0.1, "6 %"}}, 30)) {
    if (const auto* area = std::get_if<Area>(&item))
      lengths.push_back(area->rings[0][1].x() - area->rings[0][0].x());
  }
  ASSERT_EQ(lengths.size(), 2u) << "what does not fit below is left out";
  EXPECT_NEAR(lengths[1], 0.5 * lengths[0], 1e-9);
}

TEST(Contour, OfACircleIsOneClosedLineThatFar) {
  const auto lines = contours({{-10, -10}, {10, 10}}, 0.5, [](const Vec2& q) { return q.norm() - 6; });
  ASSERT_EQ(lines.size(), 1u);
  EXPECT_TRUE(lines[0].closed);
  double length = 0;
  for (std::size_t i = 0; i < lines[0].points.size(); ++i) {
    EXPECT_NEAR(lines[0].points[i].norm(), 6, 0.25 / 48);
    length += (lines[0].points[i] - lines[0].points[(i + 1) % lines[0].points.size()]).norm();
  }
  EXPECT_NEAR(length, 12 * base::kPi, 0.05);
}

TEST(Contour, ThatLeavesTheWindowIsOpenAndEndsAtItsEdge) {
  const auto lines = contours({{-5, -5}, {5, 5}}, 0.5, [](const Vec2& q) { return std::abs(q.x()) - 2; });
  ASSERT_EQ(lines.size(), 2u);
  for (const Contour& c : lines) {
    EXPECT_FALSE(c.closed);
    EXPECT_NEAR(std::abs(c.points.front().y()), 5, 1e-9);
    EXPECT_NEAR(std::abs(c.points.back().y()), 5, 1e-9);
    for (const Vec2& p : c.points) EXPECT_NEAR(std::abs(p.x()), 2, 1e-9);
  }
}

TEST(Contour, TwoBodiesThatNearlyTouchStayTwo) {
  const auto two = [](const Vec2& q) {
    return std::min((q - Vec2(-3, 0)).norm(), (q - Vec2(3, 0)).norm()) - 2.4;
  };
  EXPECT_EQ(contours({{-8, -8}, {8, 8}}, 0.5, two).size(), 2u);
}

}  // namespace
}  // namespace halfround::drawing
