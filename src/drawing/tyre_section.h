// The tyre across, as every view and card draws it. Lengths mm.
#pragma once

#include <vector>

#include "drawing/on_paper.h"
#include "solve/solve.h"

namespace halfround::drawing {

using base::Vec2;

/// The tyre's section in the wheel's middle: x to the rider's left from the middle plane, y up from the top
/// of the tread, mm; counter-clockwise from its top.
[[nodiscard]] std::vector<Vec2> tyre_section(const solve::Answer& answer);

/// The greatest width of that section, outside: the one that every sheet prints, mm.
[[nodiscard]] double tyre_width(const solve::Answer& answer);

/// The section grown by `air` along its normals, the same way round.
[[nodiscard]] std::vector<Vec2> section_with_air(const std::vector<Vec2>& section, double air);

}  // namespace halfround::drawing
