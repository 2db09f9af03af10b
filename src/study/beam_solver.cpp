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
  // the last come first: those put in between, which carry no load and so need no forward pass
  for (int i = 0; i < static_cast<int>(near.size()); ++i) waiting[queue_of(i)].push_back(i);
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

Mat6 free_part(const BeamNode& node) {
  Mat6 out = Mat6::Identity();
  for (const Vec6& d : node.held) out -= d * d.transpose();
  return out;
}

/// The frame's stiffness on the pattern, supports put in.
void assemble(BeamWorkspace& out, const BeamFrame& frame, const BeamPattern& pattern) {
  out.diagonal.assign(frame.nodes.size(), Mat6::Zero());
  out.coupling.assign(pattern.rows().size(), Mat6::Zero());
  for (std::size_t i = 0; i < frame.elements.size(); ++i) {
    const BeamElement& e = frame.elements[i];
    const ElementBlocks k = element_blocks(e);
    out.diagonal[index(e.b)] += e.k;
    out.diagonal[index(e.a)] += k.aa;
    const BeamPattern::Place& place = pattern.places()[i];
    if (place.a_later) {
      out.coupling[index(place.block)] += k.ba.transpose();
    } else {
      out.coupling[index(place.block)] += k.ba;
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
  out.before.clear();
  for (const Mat6& d : out.diagonal) out.before.push_back(d.diagonal());
}

// The kernels below are written on pairs of doubles, three to a column: every x86-64 and ARM64 has such
// registers, and the sums are the same whatever the machine.
using Pair = double __attribute__((vector_size(16), may_alias));
const Pair* pairs(const Mat6& m) {
  return reinterpret_cast<const Pair*>(m.data());
}
Pair* pairs(Mat6& m) {
  return reinterpret_cast<Pair*>(m.data());
}
static_assert(sizeof(Mat6) == 18 * sizeof(Pair) && alignof(Mat6) >= 16 && alignof(Vec6) >= 16);
Pair both(double x) {
  return Pair{x, x};
}

/// Lower Cholesky factor in place, reciprocals of the pivots on the diagonal. Above the diagonal nothing is
/// kept.
bool factor(Mat6& a, const Vec6& before) {
  bool sound = true;
#pragma GCC unroll 6
  for (int k = 0; k < 6; ++k) {
    const double pivot = a(k, k);
    sound = sound && pivot > kMechanism * before[k];
    const double inverse = 1 / std::sqrt(pivot);
    a(k, k) = inverse;
#pragma GCC unroll 6
    for (int i = k + 1; i < 6; ++i) a(i, k) *= inverse;
#pragma GCC unroll 6
    for (int j = k + 1; j < 6; ++j) {
#pragma GCC unroll 6
      for (int i = j; i < 6; ++i) a(i, j) -= a(i, k) * a(j, k);
    }
  }
  return sound;
}

/// b <- b L^-T.
void divide(Mat6& block, const Mat6& L) {
  Pair* const b = pairs(block);
#pragma GCC unroll 6
  for (int k = 0; k < 6; ++k) {
    Pair x = b[3 * k], y = b[3 * k + 1], z = b[3 * k + 2];
#pragma GCC unroll 6
    for (int j = 0; j < k; ++j) {
      const Pair l = both(L(k, j));
      x -= l * b[3 * j], y -= l * b[3 * j + 1], z -= l * b[3 * j + 2];
    }
    const Pair l = both(L(k, k));
    b[3 * k] = x * l, b[3 * k + 1] = y * l, b[3 * k + 2] = z * l;
  }
}

/// c <- c - a b^T.
void subtract(Mat6& c, const Mat6& left, const Mat6& b) {
  Pair* const to = pairs(c);
  const Pair* const a = pairs(left);
#pragma GCC unroll 6
  for (int j = 0; j < 6; ++j) {
    Pair x = to[3 * j], y = to[3 * j + 1], z = to[3 * j + 2];
#pragma GCC unroll 6
    for (int k = 0; k < 6; ++k) {
      const Pair l = both(b(j, k));
      x -= l * a[3 * k], y -= l * a[3 * k + 1], z -= l * a[3 * k + 2];
    }
    to[3 * j] = x, to[3 * j + 1] = y, to[3 * j + 2] = z;
  }
}

/// The same for c <- c - a a^T, of which only the lower half is wanted.
void subtract_square(Mat6& c, const Mat6& left) {
  Pair* const to = pairs(c);
  const Pair* const a = pairs(left);
#pragma GCC unroll 6
  for (int j = 0; j < 6; ++j) {
#pragma GCC unroll 3
    for (int i = j / 2; i < 3; ++i) {
      Pair x = to[3 * j + i];
#pragma GCC unroll 6
      for (int k = 0; k < 6; ++k) x -= both(left(j, k)) * a[3 * k + i];
      to[3 * j + i] = x;
    }
  }
}

/// y <- y - b^T x.
void subtract_turned(Vec6& y, const Mat6& b, const Vec6& x) {
  const Pair* const p = reinterpret_cast<const Pair*>(x.data());
  const Pair* const m = pairs(b);
#pragma GCC unroll 6
  for (int j = 0; j < 6; ++j) {
    const Pair sum = m[3 * j] * p[0] + m[3 * j + 1] * p[1] + m[3 * j + 2] * p[2];
    y[j] -= sum[0] + sum[1];
  }
}

bool factor(BeamWorkspace& m, const BeamPattern& pattern) {
  for (const BeamPattern::Column& c : pattern.columns()) {
    Mat6& d = m.diagonal[index(c.node)];
    if (!factor(d, m.before[index(c.node)])) return false;
    int target = c.pair;
    for (int r = c.first; r < c.first + c.count; ++r) {
      Mat6& b = m.coupling[index(r)];
      divide(b, d);
      subtract_square(m.diagonal[index(pattern.rows()[index(r)])], b);
      for (int q = c.first; q < r; ++q) {
        subtract(m.coupling[index(pattern.targets()[index(target++)])], b, m.coupling[index(q)]);
      }
    }
  }
  return true;
}

void forward(Vec6& y, const Mat6& L) {
#pragma GCC unroll 6
  for (int k = 0; k < 6; ++k) {
    y[k] *= L(k, k);
#pragma GCC unroll 6
    for (int i = k + 1; i < 6; ++i) y[i] -= L(i, k) * y[k];
  }
}

void backward(Vec6& y, const Mat6& L) {
#pragma GCC unroll 6
  for (int k = 5; k >= 0; --k) {
    double sum = y[k];
#pragma GCC unroll 6
    for (int i = 5; i > k; --i) sum -= L(i, k) * y[i];
    y[k] = sum * L(k, k);
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
  BeamWorkspace room;
  return solve(frame, pattern, cases, loads, room);
}

std::optional<BeamMovements> solve(const BeamFrame& frame, const BeamPattern& pattern, std::size_t cases,
                                   const std::vector<NodeLoad>& loads, BeamWorkspace& m) {
  assemble(m, frame, pattern);
  if (!factor(m, pattern)) return std::nullopt;

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
        subtract_turned(y, m.coupling[index(r)], at(pattern.rows()[index(r)], load));
      }
      backward(y, m.diagonal[index(c->node)]);
      at(c->node, load) = y;
    }
  }
  return out;
}

}  // namespace halfround::study
