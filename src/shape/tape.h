// What a tape measure shows along a tube: a tape lies on the skin, so past a bend it shows more on the
// outside of the bend and less on the inside than there is of centreline. Frame: the member frame.
#pragma once

#include "shape/tube.h"

namespace halfround::shape {

/// The way from one place of a tube to another.
struct Tape {
  double centre = 0;         ///< along the centreline, mm
  double outside = 0;        ///< along the skin on the outside of the bends on the way, mm
  double inside = 0;         ///< along the skin on their inside, mm
  double clock_outside = 0;  ///< where that outside is: 0, 90, 180 or 270 degrees of the clock, rad
  bool bent = false;         ///< false: no bend lies on the way
};

/// From s0 to s1 >= s0. Where bends on the way turn to several sides, the quarter line they turn away from
/// most counts: the mark line, its opposite, or one of the two between, since a tape can be laid there.
[[nodiscard]] Tape tape(const Tube& tube, double s0, double s1);

/// A tube whose rings were measured by a tape laid along the clock angle `u` from its start: each station is
/// put where it is along the centreline. Only bends move a station; what the slope of a taper adds to a tape,
/// a tenth of a mm on a blade, is left out, so that a straight tube stays as it is.
///   in   tube  the `s` of its stations are what the tape showed, rising
///   out  the same tube; within 1e-9 mm
[[nodiscard]] Tube from_tape(Tube tube, double u);

}  // namespace halfround::shape
