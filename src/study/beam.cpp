#include "study/beam.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numeric>

namespace halfround::study {

namespace {

constexpr double kPoisson = 0.3;  // in a bend's flattening only
constexpr double kHeldUp = 0.25;  // of r sqrt(r / wall), from shell models: docs/strength.md, "Bends"

Mat3 cross_matrix(const Vec3& r) {
  Mat3 out;
  out << 0, -r.z(), r.y(), r.z(), 0, -r.x(), -r.y(), r.x(), 0;
  return out;
}

}  // namespace

BendEffect bend_effect(const shape::Frame& f, const BeamSection& q, const BendPlace& place) {
  const double curvature = f.k.norm();
  if (!(curvature > 0) || !(q.half_m > 0)) return {};
  const Vec3 n = f.k / curvature;
  const double c2 = n.dot(f.m) * n.dot(f.m), s2 = 1 - c2;
  const double am = q.half_m - q.wall / 2, bm = q.half_b - q.wall / 2;
  const double a = std::sqrt(c2 * am * am + s2 * bm * bm), b = std::sqrt(s2 * am * am + c2 * bm * bm);
  const double r = std::sqrt(a * b);
  // next to the bend's ends the section keeps its shape: half of it at a straight tube, all of it at a joint
  const double reach = kHeldUp * r * std::sqrt(r / q.wall);
  const auto held = [&](double to, double gap) {
    return 0.5 * std::exp(-to / reach) + std::exp(-(to + gap) / (2 * reach));
  };
  const double flat =
      std::max(0.0, 1 - held(place.to_start, place.gap_start) - held(place.to_end, place.gap_end));
  const auto soften = [&](double size) {
    const double h2 = 12 * std::pow(q.wall / (curvature * size), 2) / (1 - kPoisson * kPoisson);
    return 1 + flat * ((10 + h2) / (1 + h2) - 1);
  };
  const double h = q.wall / (curvature * r * r), rise = std::cbrt(1 / (h * h));
  // a: half axis in the bend's plane; an oval that stands up in the bend flattens less
  const auto raised = [&](double most) { return std::max(1.0, most * rise); };
  return {soften(a * b * std::pow(b / a, 0.8)),
          soften(a * b * std::pow(b / a, 0.45)),
          raised(0.9),
          raised(1.1),
          raised(1.8),
          raised(1.65)};
}

BeamSlice beam_slice(const shape::Frame& f, const BeamSection& q, double E, double G,
                     const BendEffect& bend) {
  BeamSlice out;
  out.point = f.c + q.centre.x() * f.m + q.centre.y() * f.b;
  const auto square = [](const Vec3& v) -> Mat3 { return v * v.transpose(); };
  const Mat3 tt = square(f.t), mm = square(f.m), bb = Mat3::Identity() - tt - mm;
  out.stretch = tt / (E * q.area) + mm / (G * q.shear_m) + bb / (G * q.shear_b);
  // M_m = E (I_m k_m + P k_b), M_b = E (P k_m + I_b k_b) with P = -I_mb
  const double det = q.I_m * q.I_b - q.I_mb * q.I_mb;
  const double c = 1 / (E * det);
  out.bend = tt / (G * q.J) + mm * (c * q.I_b) + bb * (c * q.I_m);
  if (q.I_mb != 0) out.bend += (f.m * f.b.transpose() + f.b * f.m.transpose()) * (c * q.I_mb);
  if (bend.in_plane > 1 || bend.out_of_plane > 1) {
    const Vec3 n = f.k.normalized(), o = f.t.cross(n);  // the couple about o bends in the bend's plane
    const double in = o.dot(out.bend * o), aside = n.dot(out.bend * n);
    out.bend += (bend.in_plane - 1) * in * square(o) + (bend.out_of_plane - 1) * aside * square(n);
  }
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
