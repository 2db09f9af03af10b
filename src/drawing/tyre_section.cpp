#include "drawing/tyre_section.h"

#include <algorithm>
#include <cmath>

namespace halfround::drawing {

std::vector<Vec2> tyre_section(const solve::Answer& answer) {
  const shape::Tube& tyre = answer.intent.tyre;
  const double top = tyre.profile.at({1, 0}, 0).r;
  std::vector<Vec2> out;
  constexpr int n = 360;
  for (int i = 0; i < n; ++i) {
    const Vec2 e = base::unit_at(2 * base::kPi * i / n);
    const double r = tyre.profile.at(e, 0).r;
    out.emplace_back(-r * e.y(), r * e.x() - top);
  }
  return out;
}

double tyre_width(const solve::Answer& answer) {
  const std::vector<Vec2> section = tyre_section(answer);
  const auto by_x = [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); };
  const auto [left, right] = std::minmax_element(section.begin(), section.end(), by_x);
  return right->x() - left->x();
}

std::vector<Vec2> section_with_air(const std::vector<Vec2>& section, double air) {
  std::vector<Vec2> out;
  const std::size_t n = section.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 along = (section[(i + 1) % n] - section[(i + n - 1) % n]).normalized();
    out.emplace_back(section[i] + air * Vec2(along.y(), -along.x()));
  }
  return out;
}

}  // namespace halfround::drawing
