#include "study/mitre.h"

#include <gtest/gtest.h>

#include <cstdio>

#include "layout_scene.h"
#include "parts.h"
#include "study/stock_use.h"

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
        m.member.name.c_str(), m.end == bike::End::start ? "start" : "end", m.onto.name.c_str(),
        m.joint_length, m.lowest, m.highest, base::to_deg(m.passed_by), m.template_.error, m.short_by,
        m.meets.name.c_str(), m.outer.size(), m.inner.size(), m.s_least, m.s_most);
  }
}

TEST(Mitre, LeftAndRightAreMirrorImages) {
  const layout::Fork fork = laid_out();
  const auto found = mitres(fork.assembly, {});
  ASSERT_TRUE(found);
  const Mitre &l = (*found)[0], &r = (*found)[2];
  ASSERT_EQ(l.member, "blade.left"_part);
  ASSERT_EQ(r.member, "blade.right"_part);
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
  EXPECT_EQ(l.meets, "blade.right"_part);
  double sum = 0;
  for (const Passing& p : l.passing) sum += p.to - p.from;
  EXPECT_NEAR(sum, l.passed_by, 1e-9);
  double worst = 0;
  for (const EdgePoint& q : l.outer) {
    if (!q.met) worst = std::max(worst, std::abs(q.point.y()));
  }
  EXPECT_LT(worst, 1e-9);
}

/// The same fork from stock that is longer than the shape by `below` at the tip and by `above` at the crown
/// end.
std::vector<Mitre> from_longer(double below, double above, layout::Fork* out = nullptr) {
  layout::Intent intent = layout::scene();
  intent.left.below_shape = below, intent.left.stock_length += below + above;
  auto fork = layout::lay_out(intent);
  EXPECT_TRUE(fork) << base::sentence(fork.error());
  auto found = mitres(fork->assembly, {.scribe_gap = 20, .paper = 0.1});
  EXPECT_TRUE(found) << base::sentence(found.error());
  if (out != nullptr) *out = std::move(*fork);
  return std::move(*found);
}

TEST(Mitre, AScribeLineCountsFromTheEndOfTheStockAndNotOfTheShape) {
  const auto plain = from_longer(0, 0), longer = from_longer(0, 20);
  ASSERT_EQ(plain[0].member, "blade.left"_part);
  ASSERT_EQ(plain[0].end, bike::End::end);
  EXPECT_NEAR(longer[0].scribe_from_end.centre, plain[0].scribe_from_end.centre + 20, 1e-9);
  EXPECT_NEAR(longer[0].s_scribe, plain[0].s_scribe, 1e-6);
}

TEST(Mitre, WhereverExtraStockLiesTheCutIsTheSameAndTheDistancesAddUp) {
  const auto plain = from_longer(0, 0);
  for (const double below : {0.0, 3.0, 11.7, 20.0}) {
    for (const double above : {0.0, 0.25, 8.0, 33.3}) {
      layout::Fork fork;
      const auto found = from_longer(below, above, &fork);
      ASSERT_EQ(found.size(), plain.size());
      for (std::size_t k = 0; k < found.size(); ++k) {
        const Mitre& m = found[k];
        const double stock = bike::find_member(fork.assembly, m.member)->stock_length;
        EXPECT_NEAR(m.scribe_from_end.centre + m.scribe_from_other.centre, stock, 1e-9);
        EXPECT_NEAR(m.end == bike::End::end ? m.scribe_from_other.centre : m.scribe_from_end.centre,
                    m.s_scribe, 1e-9);
        EXPECT_NEAR(std::remainder(m.scribe_from_end.centre, 1), 0, 1e-9) << "a whole millimetre";
        EXPECT_NEAR(m.s_least, plain[k].s_least + below, 1e-5);
        EXPECT_NEAR(m.s_most, plain[k].s_most + below, 1e-5);
        for (std::size_t i = 0; i < 24; ++i) {
          // a ring that moved by less than a millimetre moves every depth alike, but for the skin's slope
          const double moved = m.end == bike::End::end ? plain[k].s_scribe + below - m.s_scribe
                                                       : m.s_scribe - plain[k].s_scribe - below;
          EXPECT_NEAR(m.clock[i].outer, plain[k].clock[i].outer + moved, 0.05);
        }
        const StockUse use = stock_use(*bike::find_member(fork.assembly, m.member), found);
        EXPECT_NEAR(use.off_start + use.used + use.off_end, stock, 1e-9);
        EXPECT_NEAR(use.off_start,
                    stock_use(*bike::find_member(fork.assembly, "blade.left"_part), found).off_start, 1e-6);
      }
    }
  }
}

TEST(Mitre, AHairOfRoundingDoesNotMoveTheScribeLineByAMillimetre) {
  // the gap asked for is there to the last digit: the job in inches is a hair more or less
  const auto plain = from_longer(0, 0);
  const layout::Fork fork = laid_out();
  const double exact =
      bike::find_member(fork.assembly, "blade.left"_part)->stock_length - plain[0].scribe_from_end.centre;
  double least = INFINITY;
  for (const EdgePoint& q : plain[0].outer) least = std::min(least, q.s);
  for (const double hair : {-1e-9, 0.0, 1e-9, 1e-6}) {
    const auto m = mitres(fork.assembly, {.scribe_gap = least - exact + hair, .paper = 0.1});
    ASSERT_TRUE(m);
    EXPECT_NEAR((*m)[0].scribe_from_end.centre, plain[0].scribe_from_end.centre, 1e-9) << hair;
  }
}

TEST(Mitre, TheBevelIsTheLineFromTheOuterEdgeToTheInnerOne) {
  const layout::Fork fork = laid_out();
  const auto found = mitres(fork.assembly, {});
  ASSERT_TRUE(found);
  for (const Mitre& m : *found) {
    const bike::Member& member = *bike::find_member(fork.assembly, m.member);
    for (const ClockDepth& row : m.clock) {
      ASSERT_FALSE(std::isnan(row.inner));
      const double wall = member.tube.profile.wall(m.s_scribe);  // near enough even there
      EXPECT_NEAR(std::tan(row.bevel) * wall, row.outer - row.inner,
                  0.1 * std::abs(row.outer - row.inner) + 1e-9);
      EXPECT_EQ(row.bevel > 0, row.outer > row.inner);
    }
  }
}

TEST(StockUse, APrintedRowAddsUpWhateverItsDigits) {
  for (int i = 0; i < 500; ++i) {
    const StockUse use{451.7 + 0.037 * i, 3.149 * i / 100, 0, 2.451 + 0.0173 * i};
    StockUse whole = use;
    whole.used = use.stock - use.off_start - use.off_end;
    const StockUse row = rounded(whole, 0.1);
    EXPECT_EQ(std::lround(10 * row.stock),
              std::lround(10 * row.off_start) + std::lround(10 * row.used) + std::lround(10 * row.off_end));
    EXPECT_NEAR(row.used, whole.used, 0.151);
  }
}

}  // namespace
}  // namespace halfround::study
