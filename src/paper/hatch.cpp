#include "paper/hatch.h"

#include <algorithm>
#include <cmath>

namespace halfround::paper {
namespace {

// where the grid line y = level crosses the rings, in the turned frame; half-open in y so that a corner
// counts once
void crossings(const std::vector<std::vector<Vec2>>& rings, double level, std::vector<double>& xs) {
  xs.clear();
  for (const auto& ring : rings) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2& a = ring[i];
      const Vec2& b = ring[(i + 1) % ring.size()];
      if ((a.y() <= level) == (b.y() <= level)) continue;
      xs.push_back(a.x() + (b.x() - a.x()) * (level - a.y()) / (b.y() - a.y()));
    }
  }
  std::sort(xs.begin(), xs.end());
}

}  // namespace

std::vector<std::pair<Vec2, Vec2>> hatch_lines(const Area& area) {
  std::vector<std::pair<Vec2, Vec2>> lines;
  if (area.fill != Area::Fill::hatch || !(area.spacing > 0)) return lines;

  // into a frame whose x runs along the hatch
  const Vec2 along(std::cos(area.angle), std::sin(area.angle));
  const Vec2 across(-along.y(), along.x());
  std::vector<std::vector<Vec2>> rings;
  double low = INFINITY, high = -INFINITY;
  for (const auto& ring : area.rings) {
    auto& turned = rings.emplace_back();
    for (const Vec2& p : ring) {
      turned.emplace_back(along.dot(p), across.dot(p));
      low = std::min(low, turned.back().y());
      high = std::max(high, turned.back().y());
    }
  }
  if (!(low < high)) return lines;

  std::vector<double> xs;
  for (double k = std::ceil(low / area.spacing); k * area.spacing <= high; ++k) {
    const double level = k * area.spacing;
    crossings(rings, level, xs);
    for (std::size_t i = 0; i + 1 < xs.size(); i += 2) {
      if (xs[i + 1] - xs[i] < 0.01) continue;
      lines.emplace_back(along * xs[i] + across * level, along * xs[i + 1] + across * level);
    }
  }
  return lines;
}

std::vector<Path> hatch_paths(const Area& area) {
  std::vector<Path> paths;
  for (const auto& [from, to] : hatch_lines(area))
    paths.push_back({.points = {from, to}, .stroke = {.weight = Weight::thin, .ink = area.ink}});
  return paths;
}

}  // namespace halfround::paper
