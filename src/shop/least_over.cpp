#include "shop/least_over.h"

#include <Eigen/Dense>
#include <algorithm>
#include <vector>

namespace halfround::shop {

namespace {

constexpr double kStill = 1e-10;  // a step or a multiplier that is nothing
constexpr int kMostSteps = 200;   // each one holds or lets go of one row: a few dozen are usual

/// The step to the least of the quadratic on the rows that are held, and their multipliers.
Eigen::VectorXd step(const Eigen::MatrixXd& square, const Eigen::VectorXd& slope, const Eigen::MatrixXd& rows,
                     const std::vector<Eigen::Index>& held, Eigen::VectorXd& multipliers) {
  const Eigen::Index n = square.rows(), h = static_cast<Eigen::Index>(held.size());
  Eigen::MatrixXd all = Eigen::MatrixXd::Zero(n + h, n + h);
  all.topLeftCorner(n, n) = square;
  for (Eigen::Index i = 0; i < h; ++i) {
    const Eigen::Index row = held[static_cast<std::size_t>(i)];
    all.block(0, n + i, n, 1) = -rows.row(row).transpose(), all.block(n + i, 0, 1, n) = rows.row(row);
  }
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n + h);
  right.head(n) = -slope;
  const Eigen::VectorXd found = all.fullPivLu().solve(right);
  multipliers = found.tail(h);
  return found.head(n);
}

}  // namespace

Eigen::VectorXd least_over(const Eigen::MatrixXd& rows, const Eigen::VectorXd& values) {
  const Eigen::MatrixXd square = rows.transpose() * rows;
  const Eigen::VectorXd right = rows.transpose() * values;
  Eigen::VectorXd x = square.ldlt().solve(right);
  x(0) += (values - rows * x).maxCoeff();
  std::vector<Eigen::Index> held;
  for (int i = 0; i < kMostSteps; ++i) {
    Eigen::VectorXd multipliers;
    const Eigen::VectorXd p = step(square, square * x - right, rows, held, multipliers);
    if (p.norm() < kStill * (1 + x.norm())) {
      // at rest: let go of the row that holds it back most
      const auto worst = std::ranges::min_element(multipliers);
      if (held.empty() || *worst >= -kStill * (1 + right.norm())) break;
      held.erase(held.begin() + (worst - multipliers.begin()));
      continue;
    }
    // as far as the first row that would be cut
    double share = 1;
    Eigen::Index stops = -1;
    const Eigen::VectorXd room = rows * x - values, gains = rows * p;
    for (Eigen::Index k = 0; k < rows.rows(); ++k) {
      if (gains(k) >= -kStill || std::ranges::find(held, k) != held.end()) continue;
      const double to = std::max(0.0, room(k)) / -gains(k);
      if (to < share) share = to, stops = k;
    }
    x += share * p;
    if (stops >= 0) held.push_back(stops);
  }
  x(0) += std::max(0.0, (values - rows * x).maxCoeff());
  return x;
}

}  // namespace halfround::shop
