// A frame of beams with a closed loop, as tests and benchmarks use it: a held steerer, two tapered legs and
// the bar that joins them, cut into any number of elements; and the same put into Eigen's matrices.
#pragma once

#include <Eigen/SparseCore>
#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "study/beam_solver.h"

namespace halfround::study {

inline void add_chain(BeamFrame& frame, int from, int to, double d0, double d1, int count) {
  const Vec3 p = frame.nodes[static_cast<std::size_t>(from)].point,
             q = frame.nodes[static_cast<std::size_t>(to)].point;
  const Vec3 t = (q - p).normalized(), m = t.unitOrthogonal();
  int last = from;
  for (int i = 1; i <= count; ++i) {
    int next = to;
    if (i < count) {
      next = static_cast<int>(frame.nodes.size());
      frame.nodes.push_back({p + (q - p) * i / count, {}});
    }
    Flexibility f(frame.nodes[static_cast<std::size_t>(next)].point);
    for (const double x : {0.2113248654, 0.7886751346}) {
      const double at = (i - 1 + x) / count;
      const shape::Frame g{p + at * (q - p), t, m, t.cross(m), Vec3::Zero()};
      f.add(beam_slice(g, round_bar(d0 + at * (d1 - d0), d0 + at * (d1 - d0) - 2), 205e3, 80e3),
            (q - p).norm() / count / 2);
    }
    frame.elements.push_back(beam_element(last, next, frame.nodes[static_cast<std::size_t>(last)].point,
                                          frame.nodes[static_cast<std::size_t>(next)].point, f));
    last = next;
  }
}

/// About `count` elements: a tenth in the steerer, the rest in the loop. Node 0 is the middle of the bar.
inline BeamFrame looped_frame(int count) {
  BeamFrame frame;
  const auto held = [](int k) { return Vec6(Vec6::Unit(k)); };
  frame.nodes = {{Vec3(45, 0, -390), {}},
                 {Vec3(45, 55, -390), {}},
                 {Vec3(45, -55, -390), {}},
                 {Vec3(0, 0, -30), {}},
                 {Vec3(0, 0, 0), {held(0), held(1), held(2)}},
                 {Vec3(0, 0, 150), {held(0), held(1), held(5)}}};
  const int steerer = std::max(1, count / 20), leg = std::max(1, (count - 2 * steerer - 2) / 2);
  add_chain(frame, 0, 1, 12, 12, 1), add_chain(frame, 0, 2, 12, 12, 1);
  add_chain(frame, 1, 3, 14, 28, leg), add_chain(frame, 2, 3, 14, 28, leg);
  add_chain(frame, 3, 4, 28.6, 28.6, steerer), add_chain(frame, 4, 5, 28.6, 28.6, steerer);
  return frame;
}

inline std::vector<NodeLoad> looped_loads(const BeamFrame&) {
  std::vector<NodeLoad> out;
  for (int k = 0; k < 3; ++k) out.push_back({static_cast<std::size_t>(k), 0, Vec6(1000 * Vec6::Unit(k))});
  out.push_back({3, 1, Vec6(1e5 * Vec6::Unit(4))});
  out.push_back({4, 2, Vec6(500 * Vec6::Unit(0) + 2e4 * Vec6::Unit(5))});
  return out;
}

/// The same frame as one sparse matrix; held directions (axes here) are taken out as in any textbook.
class EigenFrame {
 public:
  explicit EigenFrame(const BeamFrame& frame)
      : frame_(frame), size_(static_cast<int>(frame.nodes.size()) * 6) {
    held_.assign(static_cast<std::size_t>(size_), false);
    for (std::size_t i = 0; i < frame.nodes.size(); ++i) {
      for (const Vec6& d : frame.nodes[i].held) {
        Eigen::Index k = 0;
        d.cwiseAbs().maxCoeff(&k);
        held_[6 * i + static_cast<std::size_t>(k)] = true;
      }
    }
  }
  [[nodiscard]] bool held(int i) const { return held_[static_cast<std::size_t>(i)]; }
  static Mat6 rigid(const Vec3& arm) {
    Mat6 G = Mat6::Identity();
    G(0, 4) = arm.z(), G(0, 5) = -arm.y(), G(1, 3) = -arm.z();
    G(1, 5) = arm.x(), G(2, 3) = arm.y(), G(2, 4) = -arm.x();
    return G;
  }
  [[nodiscard]] Eigen::SparseMatrix<double> matrix() const {
    std::vector<Eigen::Triplet<double>> cells;
    cells.reserve(frame_.elements.size() * 144);
    for (const BeamElement& e : frame_.elements) {
      const Mat6 G = rigid(e.arm);
      add(cells, e.b, e.b, e.k), add(cells, e.a, e.a, G.transpose() * e.k * G);
      add(cells, e.b, e.a, -e.k * G), add(cells, e.a, e.b, -G.transpose() * e.k);
    }
    for (int i = 0; i < size_; ++i) {
      if (held_[static_cast<std::size_t>(i)]) cells.emplace_back(i, i, 1);
    }
    Eigen::SparseMatrix<double> out(size_, size_);
    out.setFromTriplets(cells.begin(), cells.end());
    return out;
  }
  [[nodiscard]] Eigen::MatrixXd right_sides(const std::vector<NodeLoad>& loads, int cases) const {
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(size_, cases);
    for (const NodeLoad& l : loads) {
      for (int k = 0; k < 6; ++k) {
        if (!held_[static_cast<std::size_t>(6 * l.node + k)])
          out(6 * l.node + k, static_cast<long>(l.load)) += l.wrench[k];
      }
    }
    return out;
  }

 private:
  void add(std::vector<Eigen::Triplet<double>>& cells, int row, int column, const Mat6& k) const {
    for (int i = 0; i < 6; ++i) {
      for (int j = 0; j < 6; ++j) {
        const int r = 6 * row + i, c = 6 * column + j;
        if (!held_[static_cast<std::size_t>(r)] && !held_[static_cast<std::size_t>(c)])
          cells.emplace_back(r, c, k(i, j));
      }
    }
  }
  const BeamFrame& frame_;
  int size_;
  std::vector<bool> held_;
};

/// Where each element's cells lie in the sparse matrix, so that it can be filled again without triplets.
class EigenPlaces {
 public:
  EigenPlaces(const BeamFrame& frame, const EigenFrame& eigen, const Eigen::SparseMatrix<double>& K)
      : frame_(frame) {
    const auto place = [&](int row, int column) -> int {
      if (eigen.held(row) || eigen.held(column)) return -1;
      const int *begin = K.innerIndexPtr() + K.outerIndexPtr()[column],
                *end = K.innerIndexPtr() + K.outerIndexPtr()[column + 1];
      return static_cast<int>(std::lower_bound(begin, end, row) - K.innerIndexPtr());
    };
    for (const BeamElement& e : frame.elements) {
      for (const auto& [r, c] : {std::pair{e.a, e.a}, {e.b, e.b}, {e.b, e.a}, {e.a, e.b}}) {
        for (int j = 0; j < 6; ++j) {
          for (int i = 0; i < 6; ++i) places_.push_back(place(6 * r + i, 6 * c + j));
        }
      }
    }
    for (int i = 0; i < K.rows(); ++i) {
      if (eigen.held(i)) ones_.push_back(K.outerIndexPtr()[i]);
    }
  }
  void fill(Eigen::SparseMatrix<double>& K) const {
    double* v = K.valuePtr();
    std::fill(v, v + K.nonZeros(), 0.0);
    std::size_t at = 0;
    const auto add = [&](const Mat6& k) {
      for (int j = 0; j < 36; ++j, ++at) {
        if (places_[at] >= 0) v[places_[at]] += k.data()[j];
      }
    };
    for (const BeamElement& e : frame_.elements) {
      const ElementBlocks k = element_blocks(e);  // the same for both solvers
      add(k.aa), add(e.k), add(k.ba), add(k.ba.transpose());
    }
    for (const int i : ones_) v[i] = 1;
  }

 private:
  const BeamFrame& frame_;
  std::vector<int> places_, ones_;
};

}  // namespace halfround::study
