// The linear bicycle model against the benchmark its authors published for such programs.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "base/maths.h"
#include "outside/table.h"
#include "study/handling.h"

namespace halfround {
namespace {

/// Table 1 of the paper.
study::BenchmarkBicycle published() {
  study::BenchmarkBicycle b;
  b.wheelbase_m = 1.02, b.trail_m = 0.08, b.steer_tilt = base::kPi / 10, b.gravity_m_s2 = 9.81;
  b.rear = {0.3, 2, 0.0603, 0.12};
  b.front = {0.35, 3, 0.1405, 0.28};
  b.body = {85, 0.3, -0.9, 9.2, 11, 2.8, 2.4};
  b.steer = {4, 0.9, -0.7, 0.05892, 0.06, 0.00708, -0.00756};
  return b;
}

/// Half the last printed digit, but not finer than a double can hold after a few dozen steps.
double tolerance(const std::string& cell) {
  const auto dot = cell.find('.');
  const auto decimals = dot == std::string::npos ? 0 : static_cast<int>(cell.size() - dot) - 1;
  return std::max(0.5 * std::pow(10.0, -decimals), 8 * 2.2e-16 * std::abs(outside::number(cell))) + 1e-15;
}

TEST(BenchmarkBicycle, MatricesAreThePublishedOnes) {
  const auto model = study::linear_model(published());
  const auto rows = outside::table("benchmark_bicycle/matrices.tsv");
  ASSERT_EQ(rows.size(), 4U);
  for (const auto& row : rows) {
    const Eigen::Matrix2d& m = row[0] == "M"    ? model.M
                               : row[0] == "C1" ? model.C1
                               : row[0] == "K0" ? model.K0
                                                : model.K2;
    for (int i = 0; i < 4; ++i) {
      const std::string& cell = row[static_cast<std::size_t>(i) + 1];
      const double least = cell.find('.') == std::string::npos || cell.size() < 10 ? 1e-12 : tolerance(cell);
      EXPECT_NEAR(m(i / 2, i % 2), outside::number(cell), least) << row[0] << " " << i / 2 + 1 << i % 2 + 1;
    }
  }
}

TEST(BenchmarkBicycle, WeaveAndCapsizeSpeedsAgreeToAllPrintedDigits) {
  const auto model = study::linear_model(published());
  const auto rows = outside::table("benchmark_bicycle/speeds.tsv");
  ASSERT_EQ(rows.size(), 2U);
  for (const auto& row : rows) {
    const auto found = row[0] == "weave" ? study::weave_speed_m_s(model) : study::capsize_speed_m_s(model);
    ASSERT_TRUE(found) << row[0];
    EXPECT_NEAR(*found, outside::number(row[1]), tolerance(row[1])) << row[0];
  }
}

TEST(BenchmarkBicycle, EigenvaluesAgreeAtEverySpeed) {
  const auto model = study::linear_model(published());
  const auto rows = outside::table("benchmark_bicycle/eigenvalues.tsv");
  ASSERT_EQ(rows.size(), 11U);
  for (const auto& row : rows) {
    std::vector<std::complex<double>> expected;
    for (std::size_t i = 1; i <= 4; ++i) {
      if (row[i] != "-") expected.emplace_back(outside::number(row[i]), 0);
    }
    for (const double sign : {1.0, -1.0}) {
      if (row[5] != "-") expected.emplace_back(outside::number(row[5]), sign * outside::number(row[6]));
    }
    ASSERT_EQ(expected.size(), 4U);
    const auto found = study::eigenvalues(model, outside::number(row[0]));
    for (const auto& e : expected) {
      double off = INFINITY;
      for (const auto& f : found) off = std::min(off, std::abs(f - e));
      EXPECT_LE(off, 1e-9) << row[0] << " m/s: " << e;
    }
  }
}

TEST(BenchmarkBicycle, ItIsSteadyBetweenTheTwoSpeedsOnly) {
  const auto model = study::linear_model(published());
  const auto range = study::steady_range(model);
  ASSERT_TRUE(range && range->to_m_s);
  EXPECT_NEAR(range->from_m_s, 4.29238253634111, 1e-12);
  EXPECT_NEAR(*range->to_m_s, 6.02426201538837, 1e-12);
  for (int i = 1; i <= 100; ++i) {
    const double v = 0.1 * i;
    EXPECT_EQ(study::steady_at(model, v), study::eigenvalues(model, v)[0].real() < 0) << v;
  }
}

}  // namespace
}  // namespace halfround
