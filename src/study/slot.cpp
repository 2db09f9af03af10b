#include "study/slot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "shape/tube.h"

namespace halfround::study {

namespace {

using base::Vec2;
using base::Vec3;

/// Gauss' points and weights on 0..1.
struct Node {
  double x, weight;
};
constexpr std::array<Node, 2> kTwo{{{0.21132486540518712, 0.5}, {0.78867513459481288, 0.5}}};
constexpr std::array<Node, 4> kFour{{{0.06943184420297371, 0.17392742256872693},
                                     {0.33000947820757187, 0.32607257743127307},
                                     {0.66999052179242813, 0.32607257743127307},
                                     {0.93056815579702629, 0.17392742256872693}}};
constexpr double kPanel = 8;  // mm along the tube; a taper's section goes with low powers of s

/// A tube's skin met along straight lines.
class Skin {
 public:
  explicit Skin(shape::Tube tube) : tube_(std::move(tube)), reader_(tube_) {}
  Skin(const Skin&) = delete;
  Skin& operator=(const Skin&) = delete;

  /// From where to where the line through `foot` along `way` lies inside; empty where it passes by.
  ///   in  s  near where the line is
  [[nodiscard]] std::pair<double, double> chord(const Vec3& foot, const Vec3& way, double s) const {
    const shape::Frame f = tube_.centreline.at(s);
    const Vec2 p((foot - f.c).dot(f.m), (foot - f.c).dot(f.b)), d(way.dot(f.m), way.dot(f.b));
    const double r = tube_.profile.at(p.norm() > 1e-9 ? Vec2(p.normalized()) : Vec2(1, 0), s).r;
    if (p.norm() >= r) return {0, 0};
    const double far = tube_.profile.at(d.normalized(), s).r;
    return {met(foot, way, -far), met(foot, way, far)};
  }

 private:
  [[nodiscard]] double met(const Vec3& foot, const Vec3& way, double v) const {
    for (int i = 0; i < 40; ++i) {
      const shape::Level l = shape::level(reader_, foot + v * way);
      const double slope = l.gradient.dot(way);
      if (std::abs(slope) < 1e-3) break;
      const double step = std::clamp(-l.value / slope, -3.0, 3.0);
      v += step;
      if (std::abs(step) < 1e-9) break;
    }
    return v;
  }
  shape::Tube tube_;
  shape::TubeReader reader_;
};

}  // namespace

Slot slot_of(const bike::Member& member, bike::End end, const bike::Plate& plate) {
  const double s = end == bike::End::end ? member.s_end : member.s_start;
  const shape::Frame f = member.tube.centreline.at(s);
  const Vec3 in = end == bike::End::end ? Vec3(-f.t) : f.t;
  Slot out;
  out.width = plate.thickness;
  for (const Vec3& v : plate.outline) out.depth = std::max(out.depth, (v - f.c).dot(in));
  out.offset = (plate.X_FP.translation() - f.c).dot(plate.normal);
  const Vec3 across = plate.normal.cross(in).normalized();
  for (std::size_t i = 0; i < 2; ++i) {
    const Vec3 way = i == 0 ? across : Vec3(-across);
    const Vec2 e = Vec2(way.dot(f.m), way.dot(f.b)).normalized();
    // a plate that stands off the middle meets the ring a little to one side
    const double lean = std::asin(std::clamp(out.offset / member.tube.profile.at(e, s).r, -1.0, 1.0));
    const Vec3 to = std::cos(lean) * way + std::sin(lean) * plate.normal;
    const double u = std::atan2(to.dot(f.b), to.dot(f.m));
    out.clock[i] = u - 2 * base::kPi * std::floor(u / (2 * base::kPi));
  }
  std::sort(out.clock.begin(), out.clock.end());
  return out;
}

Volume slot_volume(const bike::Member& member, bike::End end, const bike::Plate& plate) {
  Volume out;
  const double depth = slot_of(member, end, plate).depth;
  if (depth <= 0) return out;
  const double sign = end == bike::End::end ? -1 : 1, s_end = sign < 0 ? member.s_end : member.s_start;
  const shape::Frame f = member.tube.centreline.at(s_end);
  const Skin outer(member.tube), inner(member.tube.inner());
  // the plate as a strip of every plane square to the end: |offset + n . q| <= half its thickness
  const Vec2 n(plate.normal.dot(f.m), plate.normal.dot(f.b));
  const double across = n.norm();
  const Vec2 a = n / across;
  const Vec3 aside = a.x() * f.m + a.y() * f.b, way = a.x() * f.b - a.y() * f.m;
  const int panels = std::max(1, static_cast<int>(std::ceil(depth / kPanel)));
  constexpr int kStrips = 2;
  for (int k = 0; k < panels; ++k) {
    for (const Node& g : kFour) {
      const double z = depth * (k + g.x) / panels;
      const Vec3 middle = f.c + sign * z * f.t;
      const double offset = plate.normal.dot(middle - plate.X_FP.translation());
      for (int strip = 0; strip < kStrips; ++strip) {
        for (const Node& q : kFour) {
          const double x = (strip + q.x) / kStrips - 0.5;
          const Vec3 foot = middle + (-offset + x * plate.thickness) / across * aside;
          const auto [o0, o1] = outer.chord(foot, way, s_end + sign * z);
          auto [i0, i1] = inner.chord(foot, way, s_end + sign * z);
          if (i1 <= i0) i0 = i1 = (o0 + o1) / 2;
          const double weight = depth / panels * g.weight * plate.thickness / across * q.weight / kStrips;
          for (const auto& [v0, v1] : {std::pair{o0, i0}, std::pair{i1, o1}})
            for (const Node& v : kTwo)
              out.add(weight * v.weight * (v1 - v0), foot + (v0 + (v1 - v0) * v.x) * way);
        }
      }
    }
  }
  return out;
}

}  // namespace halfround::study
