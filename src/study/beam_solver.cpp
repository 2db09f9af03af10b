#include "study/beam_solver.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace halfround::study {

namespace {

/// A pivot this much smaller than what stood there before is nothing but rounding: the node is free to move.
constexpr double kMechanism = 1e-11;

std::size_t index(int i) {
  return static_cast<std::size_t>(i);
}

using Neighbours = std::vector<std::vector<int>>;

Neighbours neighbours_of(const BeamFrame& frame) {
  Neighbours out(frame.nodes.size());
  const auto tie = [&](int a, int b) {
    auto& list = out[index(a)];
    if (std::find(list.begin(), list.end(), b) == list.end()) list.push_back(b);
  };
  for (const BeamElement& e : frame.elements) tie(e.a, e.b), tie(e.b, e.a);
  return out;
}

/// Fewest neighbours first; those that are left become neighbours of each other. Gives back, in order, each
/// node with the neighbours it had when it went.
std::vector<std::pair<int, std::vector<int>>> fewest_first(Neighbours near) {
  std::vector<std::pair<int, std::vector<int>>> out;
  std::vector<std::vector<int>> waiting(3);  // of 0 or 1, of 2, of more neighbours; checked again when taken
  std::vector<char> gone(near.size());
  const auto queue_of = [&](int node) { return std::clamp<std::size_t>(near[index(node)].size(), 1, 3) - 1; };
  for (int i = static_cast<int>(near.size()) - 1; i >= 0; --i) waiting[queue_of(i)].push_back(i);
  const auto take = [&]() -> int {
    for (std::size_t q = 0; q < 2; ++q) {
      while (!waiting[q].empty()) {
        const int node = waiting[q].back();
        waiting[q].pop_back();
        if (!gone[index(node)] && queue_of(node) == q) return node;
      }
    }
    int best = -1;
    for (int i = 0; i < static_cast<int>(near.size()); ++i) {
      if (!gone[index(i)] && (best < 0 || near[index(i)].size() < near[index(best)].size())) best = i;
    }
    return best;
  };
  while (out.size() < near.size()) {
    const int node = take();
    gone[index(node)] = 1;
    const std::vector<int> left = near[index(node)];
    for (const int p : left) {
      auto& list = near[index(p)];
      list.erase(std::find(list.begin(), list.end(), node));
      for (const int q : left) {
        if (q != p && std::find(list.begin(), list.end(), q) == list.end()) list.push_back(q);
      }
    }
    for (auto p = left.rbegin(); p != left.rend(); ++p) waiting[queue_of(*p)].push_back(*p);
    out.emplace_back(node, left);
  }
  return out;
}

/// The frame's stiffness on the pattern, supports put in.
struct Blocks {
  std::vector<Mat6> diagonal, coupling;
};

Mat6 rigid(const Vec3& arm) {
  Mat6 G = Mat6::Identity();
  // movement of b from that of a: u + turn x arm
  G(0, 4) = arm.z(), G(0, 5) = -arm.y();
  G(1, 3) = -arm.z(), G(1, 5) = arm.x();
  G(2, 3) = arm.y(), G(2, 4) = -arm.x();
  return G;
}

Mat6 free_part(const BeamNode& node) {
  Mat6 out = Mat6::Identity();
  for (const Vec6& d : node.held) out -= d * d.transpose();
  return out;
}

Blocks assemble(const BeamFrame& frame, const BeamPattern& pattern) {
  Blocks out;
  out.diagonal.assign(frame.nodes.size(), Mat6::Zero());
  out.coupling.assign(pattern.rows().size(), Mat6::Zero());
  for (std::size_t i = 0; i < frame.elements.size(); ++i) {
    const BeamElement& e = frame.elements[i];
    const Mat6 G = rigid(e.arm);
    const Mat6 kG = e.k * G;
    out.diagonal[index(e.b)] += e.k;
    out.diagonal[index(e.a)].noalias() += G.transpose() * kG;
    const BeamPattern::Place& place = pattern.places()[i];
    if (place.a_later) {
      out.coupling[index(place.block)] -= kG.transpose();
    } else {
      out.coupling[index(place.block)] -= kG;
    }
  }
  for (const BeamPattern::Column& c : pattern.columns()) {
    const auto& held = frame.nodes[index(c.node)].held;
    if (!held.empty()) {
      const Mat6 P = free_part(frame.nodes[index(c.node)]);
      Mat6& d = out.diagonal[index(c.node)];
      const double scale = d.trace() / 6;
      d = (P * d * P + scale * (Mat6::Identity() - P)).eval();
      for (int r = c.first; r < c.first + c.count; ++r) out.coupling[index(r)] *= P;
    }
    for (int r = c.first; r < c.first + c.count; ++r) {
      const BeamNode& row = frame.nodes[index(pattern.rows()[index(r)])];
      if (!row.held.empty()) out.coupling[index(r)] = (free_part(row) * out.coupling[index(r)]).eval();
    }
  }
  return out;
}

/// Lower Cholesky factor in place, reciprocals of the pivots on the diagonal.
bool factor(Mat6& a, const Vec6& before) {
  for (int k = 0; k < 6; ++k) {
    const double pivot = a(k, k);
    if (!(pivot > kMechanism * before[k])) return false;
    const double inverse = 1 / std::sqrt(pivot);
    a(k, k) = inverse;
    for (int i = k + 1; i < 6; ++i) a(i, k) *= inverse;
    for (int j = k + 1; j < 6; ++j) {
      for (int i = j; i < 6; ++i) a(i, j) -= a(i, k) * a(j, k);
    }
  }
  return true;
}

/// b <- b L^-T.
void divide(Mat6& b, const Mat6& L) {
  for (int k = 0; k < 6; ++k) {
    for (int j = 0; j < k; ++j) b.col(k) -= L(k, j) * b.col(j);
    b.col(k) *= L(k, k);
  }
}

bool factor(Blocks& m, const BeamPattern& pattern, const std::vector<Vec6>& before) {
  for (const BeamPattern::Column& c : pattern.columns()) {
    Mat6& d = m.diagonal[index(c.node)];
    if (!factor(d, before[index(c.node)])) return false;
    int target = c.pair;
    for (int r = c.first; r < c.first + c.count; ++r) {
      Mat6& b = m.coupling[index(r)];
      divide(b, d);
      m.diagonal[index(pattern.rows()[index(r)])].noalias() -= b * b.transpose();
      for (int q = c.first; q < r; ++q) {
        m.coupling[index(pattern.targets()[index(target++)])].noalias() -=
            b * m.coupling[index(q)].transpose();
      }
    }
  }
  return true;
}

void forward(Vec6& y, const Mat6& L) {
  for (int k = 0; k < 6; ++k) {
    y[k] *= L(k, k);
    for (int i = k + 1; i < 6; ++i) y[i] -= L(i, k) * y[k];
  }
}

void backward(Vec6& y, const Mat6& L) {
  for (int k = 5; k >= 0; --k) {
    for (int i = k + 1; i < 6; ++i) y[k] -= L(i, k) * y[i];
    y[k] *= L(k, k);
  }
}

}  // namespace

BeamPattern::BeamPattern(const BeamFrame& frame) {
  auto order = fewest_first(neighbours_of(frame));
  std::vector<int> turn(frame.nodes.size());
  for (std::size_t i = 0; i < order.size(); ++i) turn[index(order[i].first)] = static_cast<int>(i);
  columns_.resize(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    auto& [node, left] = order[i];
    std::sort(left.begin(), left.end(), [&](int p, int q) { return turn[index(p)] < turn[index(q)]; });
    columns_[i] = {node, static_cast<int>(rows_.size()), static_cast<int>(left.size()), 0};
    rows_.insert(rows_.end(), left.begin(), left.end());
  }
  const auto block = [&](int p, int q) {
    const Column& c = columns_[index(std::min(turn[index(p)], turn[index(q)]))];
    const int row = turn[index(p)] < turn[index(q)] ? q : p;
    for (int r = c.first; r < c.first + c.count; ++r) {
      if (rows_[index(r)] == row) return r;
    }
    base::check(false, "a beam's coupling is not in the pattern");
    return -1;
  };
  for (Column& c : columns_) {
    c.pair = static_cast<int>(targets_.size());
    for (int r = c.first; r < c.first + c.count; ++r) {
      for (int q = c.first; q < r; ++q) targets_.push_back(block(rows_[index(r)], rows_[index(q)]));
    }
  }
  for (const BeamElement& e : frame.elements) {
    places_.push_back({block(e.a, e.b), turn[index(e.a)] > turn[index(e.b)]});
  }
}

std::optional<BeamMovements> solve(const BeamFrame& frame, const BeamPattern& pattern, std::size_t cases,
                                   const std::vector<NodeLoad>& loads) {
  Blocks m = assemble(frame, pattern);
  std::vector<Vec6> before;
  before.reserve(m.diagonal.size());
  for (const Mat6& d : m.diagonal) before.push_back(d.diagonal());
  if (!factor(m, pattern, before)) return std::nullopt;

  BeamMovements out{frame.nodes.size(), cases, std::vector<Vec6>(frame.nodes.size() * cases, Vec6::Zero())};
  const auto at = [&](int node, std::size_t load) -> Vec6& { return out.q[index(node) * cases + load]; };
  std::vector<char> loaded(frame.nodes.size());  // nodes that no load has reached yet are skipped
  for (const NodeLoad& l : loads) at(l.node, l.load) += l.wrench, loaded[index(l.node)] = 1;
  for (std::size_t i = 0; i < frame.nodes.size(); ++i) {
    if (!loaded[i] || frame.nodes[i].held.empty()) continue;
    const Mat6 P = free_part(frame.nodes[i]);
    for (std::size_t load = 0; load < cases; ++load)
      at(static_cast<int>(i), load) = P * at(static_cast<int>(i), load);
  }
  for (const BeamPattern::Column& c : pattern.columns()) {
    if (!loaded[index(c.node)]) continue;
    for (std::size_t load = 0; load < cases; ++load) forward(at(c.node, load), m.diagonal[index(c.node)]);
    for (int r = c.first; r < c.first + c.count; ++r) {
      const int row = pattern.rows()[index(r)];
      loaded[index(row)] = 1;
      for (std::size_t load = 0; load < cases; ++load) {
        at(row, load).noalias() -= m.coupling[index(r)] * at(c.node, load);
      }
    }
  }
  for (auto c = pattern.columns().rbegin(); c != pattern.columns().rend(); ++c) {
    for (std::size_t load = 0; load < cases; ++load) {
      Vec6 y = at(c->node, load);
      for (int r = c->first; r < c->first + c->count; ++r) {
        y.noalias() -= m.coupling[index(r)].transpose() * at(pattern.rows()[index(r)], load);
      }
      backward(y, m.diagonal[index(c->node)]);
      at(c->node, load) = y;
    }
  }
  return out;
}

}  // namespace halfround::study
