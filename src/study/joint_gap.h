// The gap at the upper joints when a fixture holds both ends of the blades: what was cut and bent wrong has
// nowhere else to go. Linear in the chain's dimensions, which a gap of tenths is. Frame: the chain's.
// docs/tolerance.md
#pragma once

#include "study/tolerance.h"

namespace halfround::study {

struct GapWishes {
  double spare = 1;  ///< left on the upper mitres beyond their drawn cut, to be filed until they fit, mm
};

/// Outputs gap_left and gap_right, mm: how far the blade's upper end stands off the steerer once what is left
/// on was filed away. Its dimensions are the chain's that move a lower end inward or outward, and fit.SIDE:
/// what the file leaves, to either side.
///   in   chain  of a fork built freehand (layout::as_built): its limbs "left" and "right"
///   out  a blade too long is filed to fit; one too short by more than the spare stands off by the rest
[[nodiscard]] Formula joint_gaps(const bike::Chain& chain, const GapWishes& wishes);

}  // namespace halfround::study
