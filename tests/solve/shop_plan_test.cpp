// What the hand is told for the six examples: the crown's scale shows what the job says, whatever the crown.
#include "solve/shop_plan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <sstream>

#include "job/read.h"
#include "parts.h"

namespace halfround::solve {
namespace {

using base::Vec2;
using base::Vec3;

struct Planned {
  job::Job job;
  Answer answer;
  ShopPlan plan;
};

Planned planned(const std::string& name, const shop::Shop& shop) {
  std::ostringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/" + name + "/fork.toml", std::ios::binary).rdbuf();
  auto job = job::read_job(text.str(), name);
  base::check(job.has_value(), "an example reads");
  auto answer = solve(*job, {.tolerance = false, .changes = false});
  base::check(answer.has_value(), "an example solves");
  ShopPlan plan = shop_plan(*job, *answer, shop);
  return {std::move(*job), std::move(*answer), std::move(plan)};
}

/// A bed whose only scale measures the crown's height, to a thousandth.
shop::Shop with_crown_scale() {
  shop::Shop out;
  shop::Fixture bed;
  bed.name = "bed";
  bed.adjusters = {{"yoke", shop::Measures::crown_height, 0, 1, shop::ScaleUnit::mm, 0.001, 0, 200}};
  out.fixtures = {bed};
  return out;
}

/// From the seat down the axis to the crown's centreline, read off the parts as they are in space.
double in_space(const Answer& a) {
  const bike::Assembly& fork = a.fork.assembly;
  for (const bike::Plate& p : fork.plates)
    if (p.part.kind == bike::PartKind::crown_plate || p.part.kind == bike::PartKind::crown)
      return -p.X_FP.translation().z();
  const bike::Member* crown = bike::find_member(fork, "crown.left"_part);
  const bike::Member& m = crown != nullptr ? *crown : *bike::find_member(fork, "blade.left"_part);
  // where its centreline comes to the wheel's middle plane
  const shape::Frame f = m.tube.centreline.at(m.s_end);
  return -(f.c - f.c.y() / f.t.y() * f.t).z();
}

TEST(ShopPlan, TheCrownsScaleShowsWhatTheJobSaysOnEveryKindOfCrown) {
  const shop::Shop shop = with_crown_scale();
  // as typed in the examples
  const std::pair<const char*, double> examples[] = {{"island-mail", 34}, {"harbour-mail", 26},
                                                     {"ferry-mail", 40},  {"pier-mail", 20},
                                                     {"quarry-mail", 16}, {"slip-mail", 14}};
  for (const auto& [name, typed] : examples) {
    const Planned p = planned(name, shop);
    ASSERT_EQ(p.plan.fixtures.front().readings.size(), 1u) << name;
    EXPECT_NEAR(p.plan.fixtures.front().readings.front().set, typed, 0.0011) << name;
    EXPECT_NEAR(in_space(p.answer), typed, 0.01) << name;
  }
}

// The island's blade at the mill, by ruler on the section's own widths along the jaws.
TEST(ShopPlan, TheIslandsWedgeIsThatOfItsJaws) {
  shop::Shop shop;
  shop.cutters = {{"saw", shop::CutterKind::hole_saw, 28.6, 0}};
  const Planned p = planned("island-mail", shop);
  for (const shop::MachineSetUp& s : p.plan.set_ups) {
    const bike::Member& blade = *bike::find_member(p.answer.fork.assembly, s.member);
    EXPECT_NEAR(s.held.jaw_to - s.held.jaw_from, 60, 1e-6) << s.title;
    const Vec2 e = [&]() -> Vec2 {
      const shape::Frame f = blade.tube.centreline.at(s.held.jaw_from);
      const Vec3 left = s.up.cross(s.held.axis);
      return {left.dot(f.m), left.dot(f.b)};
    }();
    // support of an oval between its half axes
    const auto half = [&](double at) {
      return std::hypot(e.x() * blade.tube.profile.width(at), e.y() * blade.tube.profile.depth(at)) / 2;
    };
    // the flank is a line across the section's corners at its rings: as steep as some part of what it spans
    double least = INFINITY, most = 0;
    for (int k = 0; k < 60; ++k) {
      const double grows = std::abs(half(s.held.jaw_from + k + 1) - half(s.held.jaw_from + k));
      least = std::min(least, grows), most = std::max(most, grows);
    }
    EXPECT_GE(std::abs(s.flanks.wedge_sides), 2 * std::atan(least) - base::to_rad(0.1)) << s.title;
    EXPECT_LE(std::abs(s.flanks.wedge_sides), 2 * std::atan(most) + base::to_rad(0.1)) << s.title;
  }
}

}  // namespace
}  // namespace halfround::solve
