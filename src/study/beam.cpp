#include "study/beam.h"

#include <Eigen/Cholesky>
#include <numeric>

namespace halfround::study {

namespace {

Mat3 cross_matrix(const Vec3& r) {
  Mat3 out;
  out << 0, -r.z(), r.y(), r.z(), 0, -r.x(), -r.y(), r.x(), 0;
  return out;
}

}  // namespace

BeamSlice beam_slice(const shape::Frame& f, const BeamSection& q, double E, double G, double soften) {
  BeamSlice out;
  out.point = f.c + q.centre.x() * f.m + q.centre.y() * f.b;
  const auto square = [](const Vec3& v) -> Mat3 { return v * v.transpose(); };
  const Mat3 tt = square(f.t), mm = square(f.m), bb = Mat3::Identity() - tt - mm;
  out.stretch = tt / (E * q.area) + mm / (G * q.shear_m) + bb / (G * q.shear_b);
  // M_m = E (I_m k_m + P k_b), M_b = E (P k_m + I_b k_b) with P = -I_mb
  const double det = q.I_m * q.I_b - q.I_mb * q.I_mb;
  const double c = soften / (E * det);
  out.bend = tt / (G * q.J) + mm * (c * q.I_b) + bb * (c * q.I_m);
  if (q.I_mb != 0) out.bend += (f.m * f.b.transpose() + f.b * f.m.transpose()) * (c * q.I_mb);
  return out;
}

void Flexibility::add(const BeamSlice& q, double length) {
  // the couple at the slice is m_b + r x f_b
  const Mat3 R = cross_matrix(node_b_ - q.point);
  const Mat3 CR = q.bend * R;
  F_.topLeftCorner<3, 3>() += length * (q.stretch + R.transpose() * CR);
  F_.bottomLeftCorner<3, 3>() += length * CR;
  F_.topRightCorner<3, 3>() += length * CR.transpose();
  F_.bottomRightCorner<3, 3>() += length * q.bend;
}

BeamElement beam_element(int a, int b, const Vec3& p_a, const Vec3& p_b, const Flexibility& flexibility) {
  BeamElement out{a, b, Mat6::Zero(), p_b - p_a};
  // lengths and turns apart by the element's own size keep the inverse well behaved
  const Mat6& F = flexibility.matrix();
  Vec6 scale;
  for (int i = 0; i < 6; ++i) scale[i] = 1 / std::sqrt(F(i, i));
  const Mat6 unit = scale.asDiagonal() * F * scale.asDiagonal();
  out.k = scale.asDiagonal() * Mat6(unit.llt().solve(Mat6::Identity())) * scale.asDiagonal();
  out.k = (0.5 * (out.k + out.k.transpose())).eval();
  return out;
}

std::vector<int> loose_nodes(const BeamFrame& frame) {
  std::vector<int> root(frame.nodes.size());
  std::iota(root.begin(), root.end(), 0);
  const auto at = [&](int i) -> int& { return root[static_cast<std::size_t>(i)]; };
  const auto find = [&](int i) {
    while (at(i) != i) i = at(i) = at(at(i));
    return i;
  };
  for (const BeamElement& e : frame.elements) at(find(e.a)) = find(e.b);
  std::vector<bool> held(root.size());
  const auto count = static_cast<int>(root.size());
  for (int i = 0; i < count; ++i) {
    if (!frame.nodes[static_cast<std::size_t>(i)].held.empty())
      held[static_cast<std::size_t>(find(i))] = true;
  }
  std::vector<int> out;
  for (int i = 0; i < count; ++i) {
    if (!held[static_cast<std::size_t>(find(i))]) out.push_back(i);
  }
  return out;
}

Vec6 end_wrench(const BeamElement& element, const Vec6& q_a, const Vec6& q_b) {
  Vec6 e = q_b - q_a;
  e.head<3>() -= q_a.tail<3>().cross(element.arm);
  return element.k * e;
}

}  // namespace halfround::study
