// The tyre as a solid of revolution: a tube whose centreline is the circle through the middle of its
// sections. Wheel frame: centre of the axle at the origin, axle along y. Lengths mm.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/maths.h"
#include "base/result.h"
#include "shape/tube.h"

namespace halfround::bike {

using base::Vec2;

struct Tyre {
  double bead_seat = 0;         ///< bead-seat diameter, ISO 5775
  double nominal_width = 0;     ///< of the designation; 0 when measured only
  double width = 0;             ///< outside, on this rim
  double outside_diameter = 0;  ///< of the wheel with the tyre on
  /// measured half profile: (half width, below the top of the tread), from the top down; empty: an ellipse is
  /// assumed
  std::vector<Vec2> half_profile;
  double rim_width = 0;  ///< inside; 0: unknown
  bool assumed = false;  ///< sizes come from the designation, not from a calliper
};

/// Size of a tyre from its designation "54-559" (section width - bead seat, ISO 5775-1).
/// Section height = width, plus 2.5 mm under 28 mm [source: encyclopaedia article on ISO 5775]; on a rim
/// wider than the usual one (65 % of the width under 30 mm, else 55 %) the tyre grows 0.78 mm a mm of rim,
/// the greatest of the published figures (0.4 rule, 0.62 and 0.78 measured), which is the safe side for
/// clearance.
///   fails  tyre-designation
[[nodiscard]] base::Result<Tyre> tyre_from_designation(const std::string& text, double rim_width);

/// The tyre's surface in the wheel frame.
[[nodiscard]] shape::Tube tyre_surface(const Tyre& tyre);

/// From the axle to the top of the tread, mm.
///   in  tyre  a surface as tyre_surface gives it, moved or not
[[nodiscard]] double outside_radius(const shape::Tube& tyre);

}  // namespace halfround::bike
