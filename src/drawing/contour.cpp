#include "drawing/contour.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/result.h"

namespace halfround::drawing {
namespace {

/// A grid edge by its lower left node and its direction.
using EdgeKey = std::pair<std::size_t, int>;

/// Every crossed edge with its point and the one or two edges it is joined to.
struct Crossing {
  Vec2 at;
  std::vector<EdgeKey> joined;
  bool taken = false;
};
using Crossings = std::map<EdgeKey, Crossing>;

class Grid {
 public:
  Grid(const Box& window, double step, const std::function<double(const Vec2&)>& f)
      : nx_(1 + static_cast<std::size_t>(std::ceil(window.width() / step))),
        ny_(1 + static_cast<std::size_t>(std::ceil(window.height() / step))),
        window_(window),
        f_(f) {
    values_.reserve(nx_ * ny_);
    for (std::size_t j = 0; j < ny_; ++j)
      for (std::size_t i = 0; i < nx_; ++i) values_.push_back(f(at(i, j)));
  }

  [[nodiscard]] Crossings crossings() const {
    Crossings out;
    for (std::size_t j = 0; j + 1 < ny_; ++j)
      for (std::size_t i = 0; i + 1 < nx_; ++i) cell(out, i, j);
    return out;
  }

 private:
  [[nodiscard]] Vec2 at(std::size_t i, std::size_t j) const {
    return window_.min + Vec2(window_.width() * static_cast<double>(i) / static_cast<double>(nx_ - 1),
                              window_.height() * static_cast<double>(j) / static_cast<double>(ny_ - 1));
  }
  [[nodiscard]] double value(std::size_t i, std::size_t j) const { return values_[j * nx_ + i]; }
  [[nodiscard]] bool inside(std::size_t i, std::size_t j) const { return value(i, j) < 0; }

  void join(Crossings& out, const EdgeKey& a, const EdgeKey& b) const {
    for (const auto& [from, to] : {std::pair(a, b), std::pair(b, a)}) {
      auto [it, fresh] = out.try_emplace(from);
      if (fresh) {
        const std::size_t i = from.first % nx_, j = from.first / nx_;
        const std::size_t i1 = from.second == 0 ? i + 1 : i, j1 = from.second == 0 ? j : j + 1;
        const double v0 = value(i, j), v1 = value(i1, j1);
        it->second.at = at(i, j) + v0 / (v0 - v1) * (at(i1, j1) - at(i, j));
      }
      it->second.joined.push_back(to);
    }
  }

  void cell(Crossings& out, std::size_t i, std::size_t j) const {
    const bool a = inside(i, j), b = inside(i + 1, j), c = inside(i + 1, j + 1), d = inside(i, j + 1);
    const EdgeKey below{j * nx_ + i, 0}, right{j * nx_ + i + 1, 1}, above{(j + 1) * nx_ + i, 0},
        left{j * nx_ + i, 1};
    std::vector<EdgeKey> cut;
    if (a != b) cut.push_back(below);
    if (b != c) cut.push_back(right);
    if (c != d) cut.push_back(above);
    if (d != a) cut.push_back(left);
    if (cut.size() == 2) join(out, cut[0], cut[1]);
    if (cut.size() != 4) return;
    const bool middle = f_(0.5 * (at(i, j) + at(i + 1, j + 1))) < 0;
    // the corners a and c hang together through the middle, or b and d do
    if (middle == a)
      join(out, below, right), join(out, above, left);
    else
      join(out, below, left), join(out, above, right);
  }

  std::size_t nx_, ny_;
  Box window_;
  const std::function<double(const Vec2&)>& f_;
  std::vector<double> values_;
};

/// Walks from an edge as far as it goes.
std::vector<Vec2> walk(Crossings& all, EdgeKey key) {
  std::vector<Vec2> out;
  for (;;) {
    Crossing& c = all.at(key);
    c.taken = true;
    out.push_back(c.at);
    const auto next =
        std::find_if(c.joined.begin(), c.joined.end(), [&](const EdgeKey& k) { return !all.at(k).taken; });
    if (next == c.joined.end()) return out;
    key = *next;
  }
}

}  // namespace

std::vector<Contour> contours(const Box& window, double step, const std::function<double(const Vec2&)>& f) {
  base::check(step > 0 && window.width() > 0 && window.height() > 0, "a contour wants a window and a step");
  Crossings all = Grid(window, step, f).crossings();
  std::vector<Contour> out;
  // first those that end at the window's edge, from one end to the other; what is left goes round
  for (const bool open : {true, false}) {
    for (auto& [key, crossing] : all) {
      if (crossing.taken || (open && crossing.joined.size() != 1)) continue;
      out.push_back({walk(all, key), !open});
    }
  }
  return out;
}

}  // namespace halfround::drawing
