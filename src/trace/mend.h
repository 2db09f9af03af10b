// A drawn curve made fit for use: thinned, smoothed within a stated distance, and refused where it can't be a
// shape. Frame: the drawing's own, mm.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "trace/curve.h"

namespace halfround::trace {

inline constexpr std::size_t kKept = 3000;  ///< points that are worked with; more are gathered into so many

struct Mended {
  std::vector<Vec2> points;  ///< smoothed; a closed one does not repeat its first point
  std::vector<int> lines;    ///< of the file, one a point
  bool closed = false;
  std::size_t raw = 0;  ///< points in the file
  double gathered =
      0;  ///< how far a point of the file lies from the gathered ones at most, mm; 0: all were kept
  double noise =
      0;  ///< of the points about a smooth curve, standard deviation of a coordinate, mm, estimated
  double displaced = 0;  ///< how far smoothing moved a point at most, mm
  double gap = 0;        ///< between both ends of a curve taken as closed, mm
};

struct MendOptions {
  double smooth = 0.3;  ///< the farthest a point may be moved, mm [our own: a pencil line]
  bool closed = false;  ///< a closed curve is wanted
  double most_gap = 2;  ///< of a curve that should close, mm
};

/// Gathers, smooths and checks.
///   in      curve  in mm
///   out     the cubic smoothing spline through the points against their distance along the curve: of all
///   curves
///           that keep the points' mean square distance it bends least; its strength is set so that the point
///           it moves most is moved by `smooth`
///   fails   trace-short   fewer than 5 points in different places
///           trace-open    closed is wanted and the ends stand farther apart than most_gap
///           trace-crosses it crosses itself; both lines of the file are named
///   source  smoothing spline: Reinsch, Numerische Mathematik 10 (1967) [from memory]
[[nodiscard]] base::Result<Mended> mend(const Curve& curve, const std::string& file,
                                        const MendOptions& options);

/// The points of a smooth curve that a polyline needs to stay within `off` of it: Douglas and Peucker's [from
/// memory].
///   out  indices, rising, both ends among them
[[nodiscard]] std::vector<std::size_t> needed(const std::vector<Vec2>& points, double off);

/// Along an open polyline, mm.
[[nodiscard]] double length_along(const std::vector<Vec2>& points);

}  // namespace halfround::trace
