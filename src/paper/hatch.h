// Hatching as lines of our own, so that every backend and every tile draws the same ones.
// The lines belong to a grid through the origin of frame P: neighbouring areas with one spacing continue each
// other.
#pragma once

#include <utility>
#include <vector>

#include "paper/display.h"

namespace halfround::paper {

/// The hatch lines of an area, clipped to its rings by the even-odd rule.
///   in      area    rings (closed without repeating the first point), spacing mm, angle rad
///   out     pairs of end points, mm, ordered across and then along the hatch; pieces below 0.01 mm are left
///   out within  1e-9 mm of the rings as given empty   for a tone, a spacing of 0 or below, or fewer than 3
///   points source  [derived] scan line in a frame turned by the hatch angle
[[nodiscard]] std::vector<std::pair<Vec2, Vec2>> hatch_lines(const Area& area);

/// The same as thin solid paths in the area's ink.
[[nodiscard]] std::vector<Path> hatch_paths(const Area& area);

}  // namespace halfround::paper
