#include "layout/unicrown.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cstdio>

#include "layout_scene.h"

namespace halfround::layout {
namespace {

using namespace base::literals;

TEST(Unicrown, TheWishesComeOut) {
  const Unicrown intent = scene();
  const auto t0 = std::chrono::steady_clock::now();
  const auto fork = lay_out(intent);
  const double us = std::chrono::duration<double, std::micro>(std::chrono::steady_clock::now() - t0).count();
  ASSERT_TRUE(fork) << base::sentence(fork.error());
  const Placed& p = fork->left;
  std::printf("%.0f us: splay %.3f deg, trim %.3f, tilt %.3f deg, crown height %.3f, top %.2f deg, clearance %.4f at s %.1f, s_crown %.2f, others %zu\n",
              us, base::to_deg(p.splay), p.lower_trim, base::to_deg(p.tilt_angle), p.crown_height, base::to_deg(p.top_angle),
              p.clearance.value, p.clearance.s, p.s_crown, fork->others.size());
  EXPECT_NEAR(p.crown_height, 34, 1e-6);
  EXPECT_NEAR(p.clearance.value, 8, 1e-6);
  EXPECT_NEAR(p.shares.sum(), intent.offset, 1e-9);
}

}  // namespace
}  // namespace halfround::layout
