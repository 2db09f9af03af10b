// Segmented crown: on each side a short tube from the steerer out to a blade that goes on past it, cut square
// and capped. Frame F. docs/constructions.md
#pragma once

#include "base/result.h"
#include "layout/lay_out.h"

namespace halfround::layout {

/// Adds the crown tube and the cap of a side with their joints; the blade is there already.
///   in     side_intent  as own_side() gives it;  placed  that side, as a left blade
///   fails  crown-tube-too-short  steerer and blade leave no tube between them; says by how much
[[nodiscard]] base::Result<void> add_crown(const SegmentedCrown& crown, const Intent& side_intent,
                                           const Placed& placed, bool left, bike::Assembly& assembly);

/// A flat cap as wide as the tube's section at s, standing on it.
[[nodiscard]] bike::Plate cap_plate(bike::Part part, const shape::Tube& tube, double s, double thickness);

}  // namespace halfround::layout
