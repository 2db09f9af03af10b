#include "paper/thinned.h"

#include <algorithm>

namespace halfround::paper {

std::vector<Vec2> thinned(const std::vector<Vec2>& points, double aside) {
  if (points.size() < 3) return points;
  std::vector<bool> kept(points.size(), false);
  kept.front() = kept.back() = true;
  const auto between = [&](const auto& self, std::size_t a, std::size_t b) -> void {
    const Vec2 d = points[b] - points[a];
    const double length = d.norm();
    double worst = aside;
    std::size_t at = a;
    for (std::size_t i = a + 1; i < b; ++i) {
      const Vec2 r = points[i] - points[a];
      const double t = length > 0 ? std::clamp(r.dot(d) / (length * length), 0.0, 1.0) : 0;
      const double off = (r - t * d).norm();
      if (off > worst) worst = off, at = i;
    }
    if (at == a) return;
    kept[at] = true;
    self(self, a, at);
    self(self, at, b);
  };
  between(between, 0, points.size() - 1);
  std::vector<Vec2> out;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (kept[i]) out.push_back(points[i]);
  return out;
}

}  // namespace halfround::paper
