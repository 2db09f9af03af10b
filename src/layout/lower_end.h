// What takes the axle at a blade's lower end, added to an assembly. Frame F; docs/constructions.md.
#pragma once

#include "layout/lay_out.h"

namespace halfround::layout {

/// Air left round a blade in the socket bored for it, a side, mm [common practice].
inline constexpr double kBlockAir = 0.1;

/// Radius of a block's two upper corners, mm.
inline constexpr double kBlockCorner = 2;

/// Adds the insert, dropout or axle block of one side, and its joint with the blade.
///   in     intent  own_side of that side; the blade stands in the assembly already
///   fails  block-too-thin, block-too-low, block-misses-blade: says by how much
[[nodiscard]] base::Result<void> add_lower_end(const Intent& intent, const Placed& placed, bool left,
                                               bike::Assembly& assembly);

}  // namespace halfround::layout
