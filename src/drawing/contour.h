// Where a function of the plane passes zero, as lines to draw: sections through tubes and bodies, whose
// surfaces are known by how far a point lies outside. Frame: that of the window.
#pragma once

#include <functional>
#include <vector>

#include "drawing/on_paper.h"

namespace halfround::drawing {

struct Contour {
  std::vector<Vec2> points;
  bool closed = false;  ///< open ones end at the window's edge
};

/// The lines f = 0 inside the window.
///   in      f     < 0 inside, > 0 outside; smooth but for creases
///           step  side of a cell, mm; what is thinner than a cell may be missed
///   within  of a distance-like f of curvature radius R: step^2 / (8 R)
///   source  marching squares [from memory]; a saddle is joined by the sign in its middle
[[nodiscard]] std::vector<Contour> contours(const Box& window, double step,
                                            const std::function<double(const Vec2&)>& f);

}  // namespace halfround::drawing
