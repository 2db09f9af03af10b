#include "study/beam.h"

#include <gtest/gtest.h>

#include <Eigen/SparseCholesky>
#include <random>

#include "beam_scene.h"
#include "study/beam_solver.h"
#include "study/mass.h"

namespace halfround::study {
namespace {

TEST(BeamSection, AgreesWithTheMassStudysQuadrature) {
  for (const auto& [width, depth, wall] :
       {std::tuple{28.6, 28.6, 1.6}, {24.0, 30.0, 1.0}, {30.0, 20.0, 1.2}}) {
    const shape::Profile profile({{0, width, depth, wall, nullptr}});
    const auto quick = beam_section(profile, 0);
    const auto slow = section_at(profile, 0);
    ASSERT_TRUE(quick && slow);
    EXPECT_NEAR(quick->area / slow->area, 1, 1e-9);
    EXPECT_NEAR(quick->I_m / slow->I_m, 1, 1e-9);
    EXPECT_NEAR(quick->I_b / slow->I_b, 1, 1e-9);
    EXPECT_NEAR(quick->J / slow->J, 1, 1e-9);
  }
  EXPECT_FALSE(beam_section(shape::Profile::round(28.6, 0), 0));
}

TEST(BeamSolver, GivesWhatEigensSparseCholeskyGives) {
  for (const int count : {3, 20, 200}) {
    const BeamFrame frame = looped_frame(count);
    const auto loads = looped_loads(frame);
    const auto ours = solve(frame, BeamPattern(frame), 5, loads);
    ASSERT_TRUE(ours);
    const EigenFrame theirs(frame);
    Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> ldlt(theirs.matrix());
    const Eigen::MatrixXd q = ldlt.solve(theirs.right_sides(loads, 5));
    double most = 0, size = 0;
    for (int i = 0; i < static_cast<int>(frame.nodes.size()); ++i) {
      for (std::size_t load = 0; load < 5; ++load) {
        const Vec6 there = q.block<6, 1>(6 * i, static_cast<long>(load));
        most = std::max(most, (ours->at(load, i) - there).cwiseAbs().maxCoeff());
        size = std::max(size, there.cwiseAbs().maxCoeff());
      }
    }
    EXPECT_LT(most / size, 1e-8) << count;
    EXPECT_GT(size, 0.1);
  }
}

TEST(BeamSolver, LeavesEveryNodeInEquilibrium) {
  const BeamFrame frame = looped_frame(60);
  const auto moved = solve(frame, BeamPattern(frame), 5, looped_loads(frame));
  ASSERT_TRUE(moved);
  for (std::size_t load = 0; load < 5; ++load) {
    std::vector<Vec6> sum(frame.nodes.size(), Vec6::Zero());
    for (const BeamElement& e : frame.elements) {
      const Vec6 at_b = end_wrench(e, moved->at(load, e.a), moved->at(load, e.b));
      sum[static_cast<std::size_t>(e.b)] += at_b;
      Vec6 at_a = -at_b;
      at_a.tail<3>() -= e.arm.cross(Vec3(at_b.head<3>()));
      sum[static_cast<std::size_t>(e.a)] += at_a;
    }
    for (const NodeLoad& l : looped_loads(frame)) {
      if (l.load == load) sum[static_cast<std::size_t>(l.node)] -= l.wrench;
    }
    for (std::size_t i = 0; i < sum.size(); ++i) {
      if (!frame.nodes[i].held.empty()) continue;
      EXPECT_LT(sum[i].cwiseAbs().maxCoeff(), 1e-3) << "node " << i;
    }
  }
}

TEST(BeamSolver, FindsAMechanism) {
  BeamFrame frame = looped_frame(10);
  for (BeamNode& node : frame.nodes) {
    if (node.held.size() > 1) node.held.resize(1);  // may slide along, and swing
  }
  EXPECT_FALSE(solve(frame, BeamPattern(frame), 5, looped_loads(frame)));
}

TEST(Beams, AMeasuredOutlineTiltedByTheClockBendsAsideAsItsProductMomentSays) {
  // an oval whose long axis stands at 30 deg: the same tube turned must give the same answer, turned
  std::vector<Vec2> points;
  for (int j = 0; j < 90; ++j) {
    const double u = 2 * base::kPi * j / 90;
    const Vec2 e = base::unit_at(u - base::kPi / 6);
    points.emplace_back(u, 1 / std::sqrt(e.x() * e.x() / 100 + e.y() * e.y() / 225));
  }
  const auto outline = std::make_shared<const shape::PolarOutline>(points);
  const shape::Profile tilted({{0, 20, 30, 1, outline}});
  const auto q = beam_section(tilted, 0);
  const auto plain = beam_section(shape::Profile({{0, 20, 30, 1, nullptr}}), 0);
  ASSERT_TRUE(q && plain);
  const auto lean = [](const Vec3& m) {
    return shape::Frame{Vec3::Zero(), Vec3::UnitZ(), m, Vec3::UnitZ().cross(m), Vec3::Zero()};
  };
  const Mat3 a = beam_slice(lean(Vec3::UnitX()), *q, 205e3, 80e3).bend;
  const Mat3 b =
      beam_slice(lean(Vec3(std::cos(base::kPi / 6), std::sin(base::kPi / 6), 0)), *plain, 205e3, 80e3).bend;
  // the wall of a measured outline is read along the radius, an oval's at its axes: 3 % apart here
  const auto flat = [](const Mat3& c) -> Eigen::Matrix2d { return c.topLeftCorner(2, 2); };
  EXPECT_LT(flat(a - b).norm() / flat(b).norm(), 0.03);
  EXPECT_GT(a(0, 1) * b(0, 1), 0);
}

}  // namespace
}  // namespace halfround::study
