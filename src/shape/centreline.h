// A centreline: a chain of straight pieces and circular arcs that meet without a corner (G1), carried with a
// frame that does not twist (rotation-minimising). Everything stands in the frame of whoever built it (member
// frame M on the bench, fork frame F once placed).
//
//          m (mark line)
//          |            seen from the start end, looking along t,
//   start  o----> t     the clock angle u runs from m toward b: clockwise.
//         /
//        b = t x m
#pragma once

#include <optional>
#include <vector>

#include "base/maths.h"

namespace halfround::shape {

using base::Mat3;
using base::Pose;
using base::Vec2;
using base::Vec3;

/// One straight piece (curvature 0) or circular arc of a centreline.
struct Piece {
  double s0 = 0;           ///< arc length where it starts, mm
  double length = 0;       ///< mm, > 0
  double curvature = 0;    ///< 1/mm, >= 0; 0 for a straight piece
  Vec3 p = Vec3::Zero();   ///< start point
  Vec3 t = Vec3::UnitZ();  ///< start tangent, unit
  Vec3 m = Vec3::UnitX();  ///< start mark direction, unit, square to t
  Vec3 n = Vec3::UnitX();  ///< toward the centre of the bend, unit, square to t (unused when straight)
};

/// The frame carried along the centreline at one arc length.
struct Frame {
  Vec3 c;  ///< point on the centreline
  Vec3 t;  ///< tangent, unit
  Vec3 m;  ///< mark direction, unit
  Vec3 b;  ///< t x m
  Vec3 k;  ///< curvature vector, 1/mm, toward the bend's centre
};

/// One thing a builder says of a blade's shape, in order from the start end.
struct Run {
  double length = 0;  ///< of a straight run, or of the arc along the centreline, mm
  double angle = 0;   ///< bend angle, rad, >= 0; 0: straight
  double toward = 0;  ///< clock angle toward which the tube bends, rad (0 = toward the mark line)
};

class Centreline {
 public:
  Centreline() = default;
  /// Lays the runs end to end from `start` (p, t, m) on.
  ///   in   runs   each of length > 0
  static Centreline from_runs(const std::vector<Run>& runs, const Vec3& p, const Vec3& t, const Vec3& m);
  /// A chain of arcs (biarcs) through traced points; touches every point, no corners.
  ///   in   points  (n >= 2) mm, distinct neighbours; m0: a direction not along the first chord
  static Centreline through(const std::vector<Vec3>& points, const Vec3& m0);
  /// The full circle of radius `radius` about `centre` in the plane square to `axis`; the mark line points
  /// outward.
  static Centreline circle(const Vec3& centre, const Vec3& axis, double radius);

  [[nodiscard]] double length() const {
    return pieces_.empty() ? 0 : pieces_.back().s0 + pieces_.back().length;
  }
  [[nodiscard]] bool straight() const { return pieces_.size() == 1 && pieces_[0].curvature == 0; }
  [[nodiscard]] double max_curvature() const;
  [[nodiscard]] const std::vector<Piece>& pieces() const { return pieces_; }

  /// Frame at arc length s, mm. Beyond either end the centreline goes on straight (a full circle goes round).
  [[nodiscard]] Frame at(double s) const;
  [[nodiscard]] Vec3 point(double s) const;

  /// Arc length of the point of the centreline nearest to p (ends extended straight).
  [[nodiscard]] double nearest(const Vec3& p) const;

  [[nodiscard]] Centreline moved(const Pose& X) const;
  /// Mirror image in the plane y = 0. The mark direction is mirrored too.
  [[nodiscard]] Centreline mirrored() const;
  /// The same line walked from the other end; mark direction kept in space.
  [[nodiscard]] Centreline reversed() const;
  /// The same line in space, gone on straight at its ends: its new start lies `before` mm below the old one.
  ///   in  before, after  >= 0, mm; the line must not be closed
  [[nodiscard]] Centreline lengthened(double before, double after) const;

 private:
  [[nodiscard]] const Piece& piece_at(double s) const;
  void append(double length, double curvature, const Vec3& p, const Vec3& t, const Vec3& m, const Vec3& n);
  std::vector<Piece> pieces_;
  bool closed_ = false;
};

}  // namespace halfround::shape
