// The full-size drawing: what is drawn lies where the fork lies, in true millimetres.
#include "sheet/fork_sheet.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "drawing/view.h"
#include "parts.h"
#include "sheet/answer_scene.h"

namespace halfround::sheet {
namespace {

const Group& group_of(const Page& page, const std::string& label) {
  const auto it =
      std::find_if(page.groups.begin(), page.groups.end(), [&](const Group& g) { return g.label == label; });
  base::check(it != page.groups.end(), "the drawing has the group");
  return *it;
}

/// Width in x of everything stroked thick in a group, where it crosses two heights.
double width_at(const Group& group, double y0, double y1) {
  double lo = INFINITY, hi = -INFINITY;
  for (const Item& item : group.items) {
    const auto* path = std::get_if<Path>(&item);
    if (!path || path->stroke.weight != Weight::thick) continue;
    for (std::size_t i = 1; i < path->points.size(); ++i) {
      const Vec2 &p = path->points[i - 1], d = path->points[i] - p;
      if (std::abs(d.y()) < 1e-9) continue;
      for (const double y : {y0, y1}) {
        const double t = (y - p.y()) / d.y();
        if (t < 0 || t > 1) continue;
        lo = std::min(lo, p.x() + t * d.x()), hi = std::max(hi, p.x() + t * d.x());
      }
    }
  }
  return hi - lo;
}

TEST(ForkDrawing, IsTidyForEveryExample) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    const Solved s = solved_example(name);
    expect_tidy(fork_page(s.job, s.answer, plain_title()));
  }
}

TEST(ForkDrawing, ShowsTheSteererAtItsTrueWidthInBothViews) {
  const Solved s = solved_example("island-mail");
  const Page page = fork_page(s.job, s.answer, plain_title());
  for (const char* label : {"fork from ahead", "fork from the rider's left"}) {
    const Group& g = group_of(page, label);
    const Box box = *bounds_of(g.items);
    // well above the joint there is nothing but the steerer
    EXPECT_NEAR(width_at(g, box.max.y() - 100, box.max.y() - 40), 28.575, 1e-3) << label;
  }
}

TEST(ForkDrawing, TheSideViewStandsOffsetAheadOfTheAxis) {
  const Solved s = solved_example("island-mail");
  const Page page = fork_page(s.job, s.answer, plain_title());
  const Group& g = group_of(page, "fork from the rider's left");
  const Box box = *bounds_of(g.items);
  // the barrel's circle: lowest part of the view; the steerer's middle from its top
  double lo = INFINITY, hi = -INFINITY, top_lo = INFINITY, top_hi = -INFINITY;
  for (const Item& item : g.items) {
    const auto* path = std::get_if<Path>(&item);
    if (!path || path->stroke.weight != Weight::thick) continue;
    for (const Vec2& p : path->points) {
      if (p.y() < box.min.y() + 14) lo = std::min(lo, p.x()), hi = std::max(hi, p.x());
      if (p.y() > box.max.y() - 40) top_lo = std::min(top_lo, p.x()), top_hi = std::max(top_hi, p.x());
    }
  }
  EXPECT_NEAR(0.5 * (top_lo + top_hi) - 0.5 * (lo + hi), 44, 0.05);
}

TEST(View, TheSidesOfAConeAreItsTangentLines) {
  bike::Member cone;
  cone.part = "cone"_part;
  cone.tube.centreline =
      shape::Centreline::from_runs({{300, 0, 0}}, base::Vec3::Zero(), base::Vec3::UnitZ(), base::Vec3::UnitX());
  cone.tube.profile = shape::Profile({{0, 24, 24, 1, nullptr}, {300, 12, 12, 1, nullptr}});
  cone.s_end = cone.stock_length = 300;
  const drawing::View view{base::Vec3::UnitY(), base::Vec3::UnitZ(), base::Vec3::UnitX(), {0, 0}};
  for (const drawing::Side& side : drawing::sides({&cone, nullptr, nullptr}, view, {})) {
    for (const Vec2& p : side.points) EXPECT_NEAR(std::abs(p.x()), 12 - 6 * p.y() / 300, 2e-3);
  }
}

TEST(View, ABentTubesOutlineStaysItsRadiusFromTheCentreline) {
  bike::Member bend;
  bend.part = "bend"_part;
  bend.tube.centreline = shape::Centreline::from_runs({{60, 0, 0}, {75 * 1.2, 1.2, base::kPi}}, base::Vec3::Zero(),
                                                      base::Vec3::UnitZ(), base::Vec3::UnitY());
  bend.tube.profile = shape::Profile::round(24, 1);
  bend.s_end = bend.stock_length = bend.tube.length();
  const drawing::View view{base::Vec3::UnitY(), base::Vec3::UnitZ(), base::Vec3::UnitX(), {0, 0}};
  for (const drawing::Side& side : drawing::sides({&bend, nullptr, nullptr}, view, {})) {
    for (const Vec2& p : side.points) {
      const base::Vec3 q(0, p.x(), p.y());
      const base::Vec3 c = bend.tube.centreline.point(bend.tube.centreline.nearest(q));
      EXPECT_NEAR((q - c).norm(), 12, 1e-4);
    }
  }
}

TEST(ForkDrawing, OfTheIslandForkIsAsAccepted) {
  const Solved s = solved_example("island-mail");
  expect_golden(
      {.stem = "fork-drawing", .title = "fork", .pages = {fork_page(s.job, s.answer, plain_title())}},
      "fork-drawing");
}

}  // namespace
}  // namespace halfround::sheet
