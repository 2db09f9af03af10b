#include "exchange/cut_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"

namespace halfround::exchange {
namespace {

using base::kPi;

double cross(const Vec2& a, const Vec2& b) {
  return a.x() * b.y() - a.y() * b.x();
}

/// Corners with their successors: (corner, next) pairs, the closing one included.
std::vector<std::pair<Corner, Vec2>> sides_of(const Contour& c) {
  std::vector<std::pair<Corner, Vec2>> out;
  const std::size_t n = c.corners.size();
  for (std::size_t i = 0; i + (c.closed ? 0 : 1) < n; ++i)
    out.emplace_back(c.corners[i], c.corners[(i + 1) % n].at);
  return out;
}

/// By how often a ray to the right crosses the ring.
bool inside(const std::vector<Vec2>& ring, const Vec2& p) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Vec2 &a = ring[i], &b = ring[j];
    if ((a.y() > p.y()) != (b.y() > p.y()) &&
        p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x())
      in = !in;
  }
  return in;
}

}  // namespace

Contour straight_contour(const std::vector<Vec2>& points, bool closed) {
  Contour out{.corners = {}, .closed = closed};
  for (const Vec2& p : points) out.corners.push_back({p, 0});
  return out;
}

Contour circle_contour(const Vec2& centre, double radius) {
  return {.corners = {{centre - Vec2(radius, 0), 1}, {centre + Vec2(radius, 0), 1}}, .closed = true};
}

Circle circle_of(const Contour& c) {
  if (!c.closed || c.corners.size() != 2) return {};
  const auto& [a, b] = std::pair(c.corners[0], c.corners[1]);
  if (std::abs(a.bulge) != 1 || a.bulge != b.bulge) return {};
  return {0.5 * (a.at + b.at), 0.5 * (a.at - b.at).norm()};
}

ArcOf arc_of(const Corner& corner, const Vec2& next) {
  const double b = corner.bulge;
  const Vec2 chord = next - corner.at, side(-chord.y(), chord.x());
  // the centre stands off the chord's middle by (1 - b^2) / (4 b) of its length, to the left for b > 0
  const Vec2 centre = 0.5 * (corner.at + next) + (1 - b * b) / (4 * b) * side;
  return {centre, chord.norm() * (1 + b * b) / (4 * std::abs(b)), 4 * std::atan(b)};
}

double length_of(const Contour& contour) {
  double sum = 0;
  for (const auto& [corner, next] : sides_of(contour)) {
    if (corner.bulge == 0) {
      sum += (next - corner.at).norm();
    } else {
      const ArcOf arc = arc_of(corner, next);
      sum += arc.radius * std::abs(arc.sweep);
    }
  }
  return sum;
}

double area_of(const Contour& contour) {
  double sum = 0;
  for (const auto& [corner, next] : sides_of(contour)) {
    sum += 0.5 * cross(corner.at, next);
    if (corner.bulge == 0) continue;
    const ArcOf arc = arc_of(corner, next);  // and the segment between chord and arc
    sum += 0.5 * arc.radius * arc.radius * (arc.sweep - std::sin(arc.sweep));
  }
  return sum;
}

std::vector<Vec2> points_of(const Contour& contour, double chord) {
  std::vector<Vec2> out;
  for (const auto& [corner, next] : sides_of(contour)) {
    out.push_back(corner.at);
    if (corner.bulge == 0) continue;
    const ArcOf arc = arc_of(corner, next);
    const double step = 2 * std::acos(std::max(0.0, 1 - chord / arc.radius));
    const int n = std::max(1, static_cast<int>(std::ceil(std::abs(arc.sweep) / step)));
    const Vec2 from = corner.at - arc.centre;
    for (int i = 1; i < n; ++i) out.push_back(arc.centre + Eigen::Rotation2Dd(arc.sweep * i / n) * from);
  }
  if (!contour.closed && !contour.corners.empty()) out.push_back(contour.corners.back().at);
  return out;
}

Box bounds_of(const std::vector<Contour>& contours) {
  Box box{{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
  const auto take = [&](const Vec2& p) { box.min = box.min.cwiseMin(p), box.max = box.max.cwiseMax(p); };
  for (const Contour& c : contours) {
    for (const auto& [corner, next] : sides_of(c)) {
      take(corner.at), take(next);
      if (corner.bulge == 0) continue;
      // where the arc passes a quarter turn of its circle it may reach farther than its ends
      const ArcOf arc = arc_of(corner, next);
      const double from = std::atan2(corner.at.y() - arc.centre.y(), corner.at.x() - arc.centre.x());
      const double least = std::min(from, from + arc.sweep), most = std::max(from, from + arc.sweep);
      for (double q = std::ceil(least / (kPi / 2)); q <= std::floor(most / (kPi / 2)); ++q)
        take(arc.centre + arc.radius * base::unit_at(q * kPi / 2));
    }
  }
  return box;
}

std::vector<Contour> in_cutting_order(std::vector<Contour> contours) {
  std::vector<std::vector<Vec2>> rings;
  for (const Contour& c : contours) rings.push_back(points_of(c));
  std::vector<std::pair<int, std::size_t>> depth;  // in how many others it lies, and which it is
  for (std::size_t i = 0; i < contours.size(); ++i) {
    int within = 0;
    for (std::size_t j = 0; j < contours.size(); ++j)
      within += i != j && !rings[i].empty() && inside(rings[j], rings[i].front());
    depth.emplace_back(within, i);
  }
  std::ranges::stable_sort(depth, [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<Contour> out;
  for (const auto& [within, i] : depth) out.push_back(std::move(contours[i]));
  return out;
}

double chord_error_of(const std::vector<Vec2>& points) {
  double most = 0;
  for (std::size_t i = 1; i + 1 < points.size(); ++i)
    most = std::max(most, (points[i - 1] - 2 * points[i] + points[i + 1]).norm() / 8);
  return most;
}

void furnish(CutDrawing& drawing, const std::vector<std::string>& lines) {
  std::vector<Contour> all = drawing.cut;
  all.insert(all.end(), drawing.marks.begin(), drawing.marks.end());
  const Box box = bounds_of(all);
  const double top = box.min.y() - 8, left = box.min.x();
  drawing.checks = {straight_contour({{left, top - kCheckSquare},
                                      {left + kCheckSquare, top - kCheckSquare},
                                      {left + kCheckSquare, top},
                                      {left, top}})};
  double y = top - 2.5;
  const auto say = [&](const std::string& text, double height = 2.5) {
    drawing.words.push_back({.at = {left + kCheckSquare + 4, y}, .text = text, .height = height});
    y -= 1.7 * height;
  };
  say(drawing.title, 3.5);
  say(fmt::format("MILLIMETRES, 1:1. The square beside this is {} mm: measure it before you cut.",
                  base::fixed(kCheckSquare, 0)));
  if (drawing.chord_error > 0)
    say(fmt::format("Curves in straight pieces, within {} mm; arcs and circles are true.",
                    base::fixed(std::max(drawing.chord_error, 0.001), 3)));
  else
    say("Every arc is a true arc.");
  for (const std::string& line : lines) say(line);
}

}  // namespace halfround::exchange
