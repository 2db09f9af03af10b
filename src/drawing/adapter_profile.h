// The outline of an adapter along its axis, as it is turned: the drawing and the files for a machine are made
// from it. Frame: x along the axis, r from it, mm; fitted diameters at their nominal size.
#pragma once

#include <vector>

#include "drawing/on_paper.h"
#include "shop/adapter.h"

namespace halfround::drawing {

/// Sizes of the piece along its axis; x = 0 at the shoulder's outer face (of a shaft: at its left tip).
struct Turned {
  std::vector<Vec2> half;  ///< upper half of the outline, from the axis' left end to its right, (x, r) mm
  double bore = 0;         ///< radius; 0: solid
  double length = 0, radius = 0;
};

[[nodiscard]] Turned turned(const shop::Adapter& adapter);

}  // namespace halfround::drawing
