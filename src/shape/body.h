// A solid that tubes and plates must keep clear of: something turned about an axis (tyre, rim, rotor, axle
// end) or a box (calliper). Its distance is exact, from its own outline and never from a mesh. Frame: that of
// whoever built it. Meridian plane of what is turned:
//
//   r (from the axis)                 "outline": a convex polygon or an ellipse, each perhaps rounded, or a
//   ^    ___                          measured closed curve. The body is what the outline sweeps in one turn.
//   |   (___)  outline
//   |     :
//   o-----:-----> y (along the axis)
#pragma once

#include <memory>
#include <vector>

#include "shape/tube.h"

namespace halfround::shape {

struct Distance {
  double value;  ///< mm, < 0 inside
  Vec3 normal;   ///< gradient of the distance, unit
};

/// A bound from below on the distance of any place x: n·(x - origin) - reach, less bend · tau² / (2 p) where
/// the body bends round x (tau: along `hoop`; p: along `out`, which must be > 0).
struct Support {
  Vec3 n;
  double reach = 0;
  double bend = 0;  ///< how far n points toward the axis, 0..1
  Vec3 hoop = Vec3::Zero(), out = Vec3::Zero();
};

class Body {
 public:
  /// in  ring  a tube along a full circle (a tyre) of constant section
  static Body ring(const Tube& ring);
  /// in  outline  (n >= 3) convex, (r, y) in mm; a full disc reaches to r = -R
  ///     round    its edges and corners are rounded outward by so much, mm
  static Body turned(const Vec3& centre, const Vec3& axis, const std::vector<Vec2>& outline,
                     double round = 0);
  /// in  X_FB  its middle and its sides;  half  half sizes along them
  static Body box(const Pose& X_FB, const Vec3& half);

  /// Exact; within 1e-12 mm of the outline, of a measured one 1e-9. On the axis of what is turned the normal
  /// is one of many.
  [[nodiscard]] Distance distance(const Vec3& p) const;

  /// A bound for the whole body, square to the distance's gradient `n` at p: tight there. Of a measured
  /// outline it holds the convex hull, made larger by less than 0.002 mm.
  [[nodiscard]] Support support(const Vec3& p, const Vec3& n) const;

  [[nodiscard]] const Vec3& origin() const { return origin_; }
  /// Prepares what support() of a measured outline needs; distance() does without.
  void prepare_support();
  [[nodiscard]] Body shifted(const Vec3& by) const;
  [[nodiscard]] double outside_radius() const {
    return outside_;
  }  ///< from the axis; of a box half its diagonal

 private:
  enum class Kind { ellipse, measured, polygon, box };
  [[nodiscard]] Distance meridian(const Vec2& q) const;
  [[nodiscard]] double reach(const Vec2& n) const;

  Kind kind_ = Kind::box;
  Vec3 origin_ = Vec3::Zero(), axis_ = Vec3::UnitY();
  Vec2 middle_ = Vec2::Zero();  ///< of the outline: (r, y)
  double a_ = 0, b_ = 0;        ///< half axes of an ellipse along r and y
  std::shared_ptr<const PolarOutline> outline_;
  std::vector<Vec2> corners_;  ///< of the polygon, anticlockwise; points along a measured outline
  double round_ = 0, outside_ = 0;
  std::vector<double> reach_;  ///< of the measured outline, by direction
  Mat3 sides_ = Mat3::Identity();
  Vec3 half_ = Vec3::Zero();
};

}  // namespace halfround::shape
