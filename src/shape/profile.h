// The section of a tube along its length: the outer boundary in polar form about the centreline, r(u, s),
// from measured stations, and the wall. Frame: the member frame; `width` lies along the mark direction m,
// `depth` along b.
#pragma once

#include <array>
#include <cmath>
#include <memory>
#include <vector>

#include "base/maths.h"

namespace halfround::shape {

using base::Vec2;
using base::Vec3;

/// A measured closed outline in polar form: a periodic cubic spline r(u) through measured radii.
class PolarOutline {
 public:
  /// in   points  (n >= 3) clock angle u (rad, rising within one turn) and radius r > 0 (mm)
  explicit PolarOutline(const std::vector<Vec2>& points);
  struct Value {
    double r, ru;
  };
  [[nodiscard]] Value at(double u) const;
  /// What |r|, |dr/du| and |d²r/du²| never exceed over the whole turn: proved from the spline's own numbers.
  struct Bounds {
    double r = 0, slope = 0, bow = 0;
  };
  [[nodiscard]] Bounds bounds() const;
  [[nodiscard]] PolarOutline mirrored() const;            ///< u -> -u
  [[nodiscard]] PolarOutline grown(double amount) const;  ///< every radius by `amount` mm
  [[nodiscard]] const std::vector<Vec2>& points() const { return points_; }

 private:
  std::vector<Vec2> points_;
  std::vector<double> second_;  ///< second derivatives at the points
};

enum class OutlineKind { round, ellipse, measured };

/// What was measured of a tube at one distance from its start.
struct Station {
  double s = 0;      ///< distance along the centreline from the start end, mm
  double width = 0;  ///< outside, along m, mm
  double depth = 0;  ///< outside, along b, mm
  double wall = 0;   ///< mm; 0: unknown
  std::shared_ptr<const PolarOutline> outline =
      nullptr;          ///< set where the outline itself was measured; then width, depth are its own
  bool smooth = false;  ///< from here to the next station the section runs smoothly; else straight
};

/// r and its derivatives along u (per rad) and s (per mm).
struct Radius {
  double r, ru, rs;
};

/// Half axes of an elliptical section (a along m, b along depth), and their slopes along s.
struct HalfAxes {
  double a, b, da, db;

  /// in   e  unit vector of the clock angle
  [[nodiscard]] Radius at(const Vec2& e) const {
    const double c2 = e.x() * e.x(), s2 = e.y() * e.y();
    if (a == b) return {a, 0, c2 * da + s2 * db};
    const double a2 = a * a, b2 = b * b;
    const double w = 1 / std::sqrt(c2 * b2 + s2 * a2), w2 = w * w, r = a * b * w;
    return {r, r * w2 * e.x() * e.y() * (b2 - a2), w * w2 * (c2 * da * b2 * b + s2 * db * a2 * a)};
  }
};

/// Sections between stations: half axes (of a measured outline its radii) and wall go straight from station
/// to station, so that a plain taper told by its two ends is that taper; the slope jumps at a station, and
/// whoever integrates along s splits there. Over spans that follow a `smooth` station they go by a monotone
/// cubic (PCHIP; radii by cubic Hermite) without a jump between two such spans. Beyond the first and last
/// station the section stays as it is there.
class Profile {
 public:
  Profile() = default;
  /// in   stations  (n >= 1) rising s
  explicit Profile(std::vector<Station> stations);
  static Profile round(double diameter, double wall) {
    return Profile({{0, diameter, diameter, wall, nullptr}});
  }

  /// in   e  unit vector of the clock angle
  [[nodiscard]] Radius at(const Vec2& e, double s) const {
    return measured_ ? measured_at(e, s) : half_axes(s).at(e);
  }
  /// Only where no outline was measured, i.e. convex().
  [[nodiscard]] HalfAxes half_axes(double s) const {
    const Span& q = spans_[span_at(s)];
    const double x = s - q.start;
    const auto& [a, b] = q.half;
    return {a[0] + x * (a[1] + x * (a[2] + x * a[3])), b[0] + x * (b[1] + x * (b[2] + x * b[3])),
            a[1] + x * (2 * a[2] + x * 3 * a[3]), b[1] + x * (2 * b[2] + x * 3 * b[3])};
  }
  [[nodiscard]] double width(double s) const;  ///< along m, both sides added, mm
  [[nodiscard]] double depth(double s) const;  ///< along b, both sides added, mm
  [[nodiscard]] double wall(double s) const;
  [[nodiscard]] OutlineKind kind(double s) const;
  [[nodiscard]] double max_radius() const;
  [[nodiscard]] bool convex() const { return !measured_; }
  [[nodiscard]] bool constant() const { return stations_.size() == 1; }
  /// True when generators between s0 and s1 are straight lines, or within 1e-5 of their length of it.
  [[nodiscard]] bool ruled(double s0, double s1) const;
  [[nodiscard]] const std::vector<Station>& stations() const { return stations_; }

  /// The inner surface: half axes less the wall (wall read at the axes), measured radii less the wall, at
  /// every s and not at the stations only.
  [[nodiscard]] Profile inner() const;
  [[nodiscard]] Profile grown(double amount) const;     ///< every half axis by `amount` mm
  [[nodiscard]] Profile mirrored() const;               ///< u -> -u
  [[nodiscard]] Profile reversed(double length) const;  ///< s -> length - s, u -> -u

 private:
  struct Blend {  ///< where s falls: interval i, and Hermite weights
    std::size_t i = 0;
    bool inside = false;
    double h = 0, w0 = 0, w1 = 0, m0 = 0, m1 = 0, dw0 = 0, dw1 = 0, dm0 = 0, dm1 = 0;
  };
  using Cubic = std::array<double, 4>;
  struct Span {  ///< half width, half depth and wall as cubics in s - start, for s < end
    double start = 0, end = 0;
    std::array<Cubic, 2> half{};
    Cubic wall{};
  };
  [[nodiscard]] std::size_t span_at(double s) const {
    std::size_t i = 0;
    while (i + 1 < spans_.size() && s >= spans_[i].end) ++i;
    return i;
  }
  [[nodiscard]] bool smooth(std::size_t i) const { return i + 1 < stations_.size() && stations_[i].smooth; }
  void lay_spans();
  [[nodiscard]] Blend blend(double s) const;
  [[nodiscard]] Radius measured_at(const Vec2& e, double s) const;
  std::vector<Station> stations_;
  std::vector<Span> spans_;  ///< before, between and beyond the stations
  bool measured_ = false;
};

}  // namespace halfround::shape
