// The least squares fit that stays above every given value: a small convex problem with one answer.
#pragma once

#include <Eigen/Core>

namespace halfround::shop {

/// x that makes the sum of squares of (rows x - values) least while rows x >= values everywhere.
///   in      rows    first column all ones; a few columns, linearly independent
///           values  as many as rows
///   out     within 1e-9 of rows x >= values, by a last lift of x(0)
///   source  active set method for a convex quadratic, [from memory: Nocedal and Wright, Numerical
///           Optimization, ch. 16]; a closed form in tests/shop/rough_cut_test.cpp
[[nodiscard]] Eigen::VectorXd least_over(const Eigen::MatrixXd& rows, const Eigen::VectorXd& values);

}  // namespace halfround::shop
