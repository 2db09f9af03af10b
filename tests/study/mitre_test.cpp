#include "study/mitre.h"

#include <gtest/gtest.h>

#include <cstdio>

#include "layout_scene.h"

namespace halfround::study {
namespace {

layout::Fork laid_out() {
  auto fork = layout::lay_out(layout::scene());
  EXPECT_TRUE(fork) << base::sentence(fork.error());
  return std::move(*fork);
}

TEST(Mitre, EveryMitredEndOfAForkIsCut) {
  const layout::Fork fork = laid_out();
  const auto found = mitres(fork.assembly, {});
  ASSERT_TRUE(found) << base::sentence(found.error());
  ASSERT_EQ(found->size(), 4u);
  for (const Mitre& m : *found) {
    const bike::Member* target = bike::find_member(fork.assembly, m.onto);
    for (const auto* edge : {&m.outer, &m.inner}) {
      for (const EdgePoint& q : *edge) {
        if (q.met) {
          EXPECT_NEAR(shape::level(target->tube, q.point).value, 0, 1e-9);
        }
      }
    }
    EXPECT_EQ(m.clock.size(), 24u);
    std::printf(
        "%s %s onto %s: joint %.2f lowest %.2f highest %.2f passed %.2f deg template error %.3f short %.2f "
        "meets %s, %zu+%zu points, s %.1f..%.1f\n",
        m.member.c_str(), m.end == bike::End::start ? "start" : "end", m.onto.c_str(), m.joint_length,
        m.lowest, m.highest, base::to_deg(m.passed_by), m.template_.error, m.short_by, m.meets.c_str(),
        m.outer.size(), m.inner.size(), m.s_least, m.s_most);
  }
}

TEST(Mitre, LeftAndRightAreMirrorImages) {
  const layout::Fork fork = laid_out();
  const auto found = mitres(fork.assembly, {});
  ASSERT_TRUE(found);
  const Mitre &l = (*found)[0], &r = (*found)[2];
  ASSERT_EQ(l.member, "blade.left");
  ASSERT_EQ(r.member, "blade.right");
  for (int i = 0; i < 24; ++i) {
    const auto k = static_cast<std::size_t>(i), j = static_cast<std::size_t>((24 - i) % 24);
    EXPECT_NEAR(l.clock[k].outer, r.clock[j].outer, 1e-8);
    EXPECT_NEAR(l.clock[k].inner, r.clock[j].inner, 1e-8);
    EXPECT_NEAR(l.clock[k].bevel, r.clock[j].bevel, 1e-8);
  }
}

TEST(Mitre, MovingTheWholeForkChangesNoDepth) {
  const layout::Fork fork = laid_out();
  base::Pose X = base::Pose::Identity();
  X.linear() = Eigen::AngleAxisd(0.7, base::Vec3(1, 2, -1).normalized()).toRotationMatrix();
  X.translation() = base::Vec3(120, -40, 900);
  const auto a = mitres(fork.assembly, {}), b = mitres(bike::moved(fork.assembly, X), {});
  ASSERT_TRUE(a && b);
  for (std::size_t k = 0; k < a->size(); ++k) {
    for (std::size_t i = 0; i < 24; ++i) EXPECT_NEAR((*a)[k].clock[i].outer, (*b)[k].clock[i].outer, 1e-7);
  }
}

TEST(Mitre, WideBladesPassBesideAndMeetEachOther) {
  layout::Intent intent = layout::scene();
  for (auto& st : intent.left.stations) st.depth *= 1.15;
  const auto fork = layout::lay_out(intent);
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  const auto found = mitres(fork->assembly, {});
  ASSERT_TRUE(found);
  const Mitre& l = (*found)[0];
  EXPECT_GT(l.passed_by, 0.3);
  EXPECT_EQ(l.meets, "blade.right");
  double sum = 0;
  for (const Passing& p : l.passing) sum += p.to - p.from;
  EXPECT_NEAR(sum, l.passed_by, 1e-9);
  double worst = 0;
  for (const EdgePoint& q : l.outer) {
    if (!q.met) worst = std::max(worst, std::abs(q.point.y()));
  }
  EXPECT_LT(worst, 1e-9);
}

}  // namespace
}  // namespace halfround::study
