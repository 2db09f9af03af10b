// Lines with fewer points that say the same.
#pragma once

#include <vector>

#include "base/maths.h"

namespace halfround::paper {

using base::Vec2;

inline constexpr double kForTheEye = 0.004;  // mm; a printer's dots are ten times as wide

/// The same line with the points left out that lie within `aside` mm of it (Douglas and Peucker); its ends
/// stay.
[[nodiscard]] std::vector<Vec2> thinned(const std::vector<Vec2>& points, double aside);

}  // namespace halfround::paper
