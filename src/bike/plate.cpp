#include "bike/plate.h"

#include <algorithm>
#include <cmath>

namespace halfround::bike {

Arc arc_between(const Vec2& from, const Vec2& to, double sweep) {
  // the centre stands off the chord's middle by half the chord over the tangent of half the sweep
  const Vec2 half = (to - from) / 2;
  const double turn = 1 / std::tan(sweep / 2);
  Arc out;
  out.centre = from + half + turn * Vec2(-half.y(), half.x());
  out.radius = (from - out.centre).norm();
  out.start = std::atan2(from.y() - out.centre.y(), from.x() - out.centre.x());
  return out;
}

std::vector<Vec2> sampled(const std::vector<Corner>& corners, double chord) {
  std::vector<Vec2> out;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Corner& c = corners[i];
    const Vec2& to = corners[(i + 1) % corners.size()].at;
    out.push_back(c.at);
    if (c.sweep == 0) continue;
    const Arc arc = arc_between(c.at, to, c.sweep);
    // a chord over the angle a lies r (1 - cos(a/2)) inside its arc
    const double step = 2 * std::acos(std::max(0.0, 1 - chord / std::max(arc.radius, chord)));
    const int n = std::max(1, static_cast<int>(std::ceil(std::abs(c.sweep) / std::max(step, 1e-3))));
    for (int k = 1; k < n; ++k) {
      const double a = arc.start + c.sweep * k / n;
      out.push_back(arc.centre + arc.radius * Vec2(std::cos(a), std::sin(a)));
    }
  }
  return out;
}

double area(const std::vector<Corner>& corners) {
  double sum = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Corner& c = corners[i];
    const Vec2& to = corners[(i + 1) % corners.size()].at;
    sum += (c.at.x() * to.y() - c.at.y() * to.x()) / 2;
    if (c.sweep == 0) continue;
    const double r = arc_between(c.at, to, c.sweep).radius;
    sum += r * r * (c.sweep - std::sin(c.sweep)) / 2;  // the segment between arc and chord
  }
  return sum;
}

namespace {

/// Two directions square to the bore's axis: the one of `diameter`, leaning with x, and the other.
struct Across {
  Vec3 e, f;
};
Across across_of(const Bore& bore) {
  const Vec3 e = (Vec3::UnitX() - bore.axis.x() * bore.axis).normalized();
  return {e, bore.axis.cross(e)};
}

}  // namespace

std::vector<Vec2> bore_edge(const Bore& bore, double z, int n) {
  const auto [e, f] = across_of(bore);
  const double a = bore.diameter / 2, b = (bore.across > 0 ? bore.across : bore.diameter) / 2;
  std::vector<Vec2> out;
  for (int i = 0; i < n; ++i) {
    const double u = 2 * base::kPi * i / n;
    const Vec3 p = Vec3(bore.at.x(), bore.at.y(), 0) + a * std::cos(u) * e + b * std::sin(u) * f;
    const double along = (z - p.z()) / bore.axis.z();
    out.emplace_back(p.x() + along * bore.axis.x(), p.y() + along * bore.axis.y());
  }
  return out;
}

Vec3 bore_mouth(const Plate& plate, const Bore& bore) {
  if (bore.mouth) return *bore.mouth;
  return Vec3(bore.at.x(), bore.at.y(), 0) - plate.thickness / 2 / bore.axis.z() * bore.axis;
}

double bore_length(const Plate& plate, const Bore& bore) {
  return bore.depth > 0 ? bore.depth : plate.thickness / std::abs(bore.axis.z());
}

const Bore* find_bore(const Plate& plate, const Part& takes) {
  const auto found =
      std::find_if(plate.bores.begin(), plate.bores.end(), [&](const Bore& b) { return b.takes == takes; });
  return found == plate.bores.end() ? nullptr : &*found;
}

double bore_volume(const Plate& plate, const Bore& bore) {
  const double across = bore.across > 0 ? bore.across : bore.diameter;
  return base::kPi / 4 * bore.diameter * across * bore_length(plate, bore);
}

Plate make_plate(Part part, const Pose& X_FP, std::vector<Corner> corners, double thickness,
                 std::vector<Bore> bores) {
  Plate out;
  out.part = std::move(part), out.X_FP = X_FP, out.corners = std::move(corners);
  out.thickness = thickness, out.bores = std::move(bores);
  for (const Vec2& p : sampled(out.corners, kOutlineChord))
    out.outline.emplace_back(X_FP * Vec3(p.x(), p.y(), 0));
  out.normal = X_FP.linear() * Vec3::UnitZ();
  return out;
}

Plate moved(const Plate& plate, const Pose& X) {
  Plate out = plate;
  out.X_FP = X * plate.X_FP;
  for (Vec3& v : out.outline) v = X * v;
  out.normal = X.linear() * plate.normal;
  return out;
}

Plate mirrored(const Plate& plate) {
  const base::Mat3 across = Vec3(1, -1, 1).asDiagonal();
  const base::Mat3 turn_over =
      Vec3(-1, 1, 1).asDiagonal();  // x of frame P turns round: it stays right-handed
  Plate out = plate;
  out.X_FP.linear() = across * plate.X_FP.linear() * turn_over;
  out.X_FP.translation() = across * plate.X_FP.translation();
  const std::size_t n = plate.corners.size();
  for (std::size_t i = 0; i < n; ++i) {  // walked the other way round: each arc now starts where it ended
    const Corner& c = plate.corners[(2 * n - i) % n];
    out.corners[i] = {Vec2(-c.at.x(), c.at.y()), plate.corners[(2 * n - i - 1) % n].sweep};
  }
  for (Bore& b : out.bores) {
    b.at.x() = -b.at.x(), b.axis.x() = -b.axis.x();
    if (b.mouth) b.mouth->x() = -b.mouth->x();
  }
  for (Vec3& v : out.outline) v.y() = -v.y();
  std::reverse(out.outline.begin() + 1, out.outline.end());
  out.normal.y() = -out.normal.y();
  return out;
}

}  // namespace halfround::bike
