// What comes out when the fixture holds the fork: its scales, cones and dummy axle decide where the axle
// stands, and what was cut wrong becomes a gap at a joint. Frame F. docs/tolerance.md
#pragma once

#include "bike/chain.h"
#include "layout/lay_out.h"

namespace halfround::layout {

/// The chain of a fork that is tacked in a fixture, from the steerer's seat to the dummy axle. For both
/// sides:
///   race_height     seat lifted off its stop, mm
///   steerer_lean    steerer held leaning in its cones or blocks, sideways, rad
///   steerer_pitch   fore and aft, rad
///   scale_height    axle's height as the scale was set, mm
///   scale_offset    axle's offset as the scale was set, mm
///   axle_aside      dummy axle's middle beside the fixture's, mm
///   axle_tilt       dummy axle not level: left end higher, rad
///   axle_turn       dummy axle not square to the middle: left end ahead, rad
///   dummy_width     dummy axle or adapters wider than the hub, mm
///   over_locknut    hub wider, mm
/// and for each side what is left once the fork is taken out:
///   spring.SIDE     lower end springs outward, mm
///   camber.SIDE, toe.SIDE  face not flat against the dummy axle's shoulder, rad
///   out  with nothing off the ends stand as in as_built()
[[nodiscard]] bike::Chain as_held(const Intent& intent, const Fork& fork);

}  // namespace halfround::layout
