#include "study/handling.h"

#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>

#include "base/maths.h"

namespace halfround::study {
namespace {

using namespace base::literals;

BicycleParts town_bicycle() {
  BicycleParts p;
  p.wheelbase = 1050, p.head_angle = 71.5_deg, p.offset = 44, p.rear_radius = 335, p.front_radius = 335;
  p.rider_mass = 75, p.rider_ahead = 350, p.rider_height = 1000;
  p.frame_mass = 5, p.frame_ahead = 360, p.frame_height = 530;
  p.front_mass = 2.6, p.front_behind = 145, p.front_height = 750;
  p.rear_wheel_mass = 2.2, p.front_wheel_mass = 1.75;
  return p;
}

TEST(Handling, MillimetresBecomeMetresAtTheDoor) {
  const BenchmarkBicycle b = benchmark_of(town_bicycle());
  EXPECT_DOUBLE_EQ(b.wheelbase_m, 1.05);
  EXPECT_DOUBLE_EQ(b.front.radius_m, 0.335);
  EXPECT_NEAR(b.trail_m, (335 * std::cos(71.5_deg) - 44) / std::sin(71.5_deg) / 1000, 1e-15);
  EXPECT_NEAR(b.steer_tilt, 18.5_deg, 1e-15);
  EXPECT_NEAR(b.body.z_m, -(75 * 1.0 + 5 * 0.53) / 80, 1e-15);  // z points down
  EXPECT_NEAR(b.steer.x_m, 0.905, 1e-15);
}

TEST(Handling, EveryEigenvalueMakesTheMatrixSingular) {
  const LinearModel q = linear_model(benchmark_of(town_bicycle()));
  for (double v = 0; v < 15; v += 0.7) {
    for (const auto& x : eigenvalues(q, v)) {
      const Eigen::Matrix2cd A = x * x * q.M + x * v * q.C1 + q.gravity_m_s2 * q.K0 + v * v * q.K2;
      EXPECT_LT(std::abs(A.determinant()), 1e-9 * (1 + A.squaredNorm())) << v << " " << x;
    }
  }
}

TEST(Handling, TheRangeEndsWhereARootStandsOnTheImaginaryAxis) {
  const LinearModel q = linear_model(benchmark_of(town_bicycle()));
  const auto weave = weave_speed_m_s(q), capsize = capsize_speed_m_s(q);
  const auto range = steady_range(q);
  ASSERT_TRUE(weave && capsize && range && range->to_m_s);
  EXPECT_DOUBLE_EQ(range->from_m_s, *weave);
  EXPECT_DOUBLE_EQ(*range->to_m_s, *capsize);
  EXPECT_NEAR(eigenvalues(q, *weave)[0].real(), 0, 1e-9);
  EXPECT_GT(eigenvalues(q, *weave)[0].imag(), 1);
  EXPECT_NEAR(std::abs(eigenvalues(q, *capsize)[0]), 0, 1e-9);
  EXPECT_FALSE(steady_at(q, 0.999 * *weave));
  EXPECT_TRUE(steady_at(q, 1.001 * *weave));
  EXPECT_FALSE(steady_at(q, 1.001 * *capsize));
}

TEST(Handling, TwiceTheMassEverywhereChangesNoSpeed) {
  BicycleParts heavy = town_bicycle();
  for (double* m : {&heavy.rider_mass, &heavy.frame_mass, &heavy.front_mass, &heavy.rear_wheel_mass,
                    &heavy.front_wheel_mass}) {
    *m *= 2;
  }
  const Handling a = handling(town_bicycle()), b = handling(heavy);
  EXPECT_NEAR(*a.drawn.weave_m_s, *b.drawn.weave_m_s, 1e-12);
  EXPECT_NEAR(*a.drawn.capsize_m_s, *b.drawn.capsize_m_s, 1e-12);
  EXPECT_NEAR(b.mass, 2 * a.mass, 1e-12);
  EXPECT_NEAR(b.centre_height, a.centre_height, 1e-9);
}

TEST(Handling, MoreOffsetTakesTrailAndAddsWheelbase) {
  const Handling h = handling(town_bicycle());
  ASSERT_EQ(h.by_offset.size(), 3u);
  const Steadiness &less = h.by_offset[0], &drawn = h.by_offset[1], &more = h.by_offset[2];
  EXPECT_EQ(less.offset, 39);
  EXPECT_EQ(more.offset, 49);
  EXPECT_NEAR(drawn.trail - more.trail, 5 / std::sin(71.5_deg), 1e-9);
  EXPECT_NEAR(more.wheelbase - drawn.wheelbase, 5 * std::sin(71.5_deg), 1e-9);
  EXPECT_EQ(drawn.weave_m_s, h.drawn.weave_m_s);
  // the bars stay where they are, so the front frame's place in the model does too
  EXPECT_GT(*less.weave_m_s, *more.weave_m_s);
  ASSERT_EQ(h.by_speed.size(), 11u);
  EXPECT_EQ(h.by_speed.back().speed_m_s, 10);
  ASSERT_EQ(h.curve.size(), 101u);
  for (std::size_t i = 0; i < h.by_speed.size(); ++i) EXPECT_EQ(h.curve[10 * i].per_s, h.by_speed[i].per_s);
}

TEST(Handling, AForkThatNeverHoldsItselfUpIsToldSo) {
  BicycleParts p = town_bicycle();
  p.offset = 150;  // trail below zero
  const Handling h = handling(p);
  EXPECT_LT(h.drawn.trail, 0);
  EXPECT_FALSE(h.drawn.steady);
  for (const SpeedRow& row : h.by_speed) EXPECT_GE(row.per_s[0].real(), 0) << row.speed_m_s;
}

/// No jump anywhere between ordinary bicycles: the range follows the eigenvalues for every offset and angle.
TEST(Handling, TheRangeAgreesWithTheEigenvaluesForManyForks) {
  for (double head = 66; head <= 76; head += 1) {
    for (double offset = -20; offset <= 80; offset += 10) {
      BicycleParts p = town_bicycle();
      p.head_angle = base::to_rad(head), p.offset = offset;
      const LinearModel q = linear_model(benchmark_of(p));
      const auto range = steady_range(q);
      for (double v = 0.25; v < 20; v += 0.5) {
        const bool inside = range && v > range->from_m_s && (!range->to_m_s || v < *range->to_m_s);
        const double greatest = eigenvalues(q, v)[0].real();
        if (std::abs(greatest) < 1e-6) continue;
        EXPECT_EQ(inside, greatest < 0) << head << " " << offset << " " << v;
      }
    }
  }
}

}  // namespace
}  // namespace halfround::study
