// What holds the blades at the top: the part of an intent that differs from construction to construction.
// Frame F. Every construction gives the layout the same thing, a line in the blades' plane up to which the
// blade's centreline is brought, and then adds its own members, plates and joints. docs/constructions.md
//
//            | steering axis
//     seat --+--                        height: from the seat down to where the line meets the axis
//            |   \ line                 angle:  between the line, going outward, and the axis, going down
//            +-----\------o blade
//            |      angle  |
#pragma once

#include <optional>
#include <string>
#include <variant>

#include "base/maths.h"

namespace halfround::layout {

/// Short tubes mitred to the steerer and to blades that go on past them and are capped.
struct SegmentedCrown {
  double diameter = 0, wall = 0;  ///< of a crown tube, mm
  double height = 0;              ///< of its axis on the steerer, below the seat, mm
  double angle = base::kPi / 2;   ///< of its axis to the steering axis, rad; below 90 deg it falls outward
  double above = 0;               ///< blade past the crown tube's axis, to its square top, mm
  double cap = 0;                 ///< thickness of the cap on it, mm
};

/// One or two flat plates square to the steering axis, bored for the steerer and for blades that go on above.
struct PlateCrown {
  int plates = 1;
  double thickness = 0;  ///< mm
  double height = 0;     ///< of the upper plate's middle below the seat, mm
  double between = 0;    ///< middle to middle of two plates, mm
  double edge = 0;       ///< metal round every bore, mm
  double least = 0;      ///< least metal between two bores, mm
  double above = 0;      ///< blade past the upper plate's middle, mm
  double cap = 0;        ///< thickness of the caps on the blades, mm
};

using Crown =
    std::variant<std::monostate, SegmentedCrown, PlateCrown>;  ///< monostate: blades mitred onto the steerer

struct CrownLine {
  double height = 0;             ///< mm below the crown race seat
  double angle = base::kPi / 2;  ///< rad
  double above = 0;              ///< how far the blade goes on past the line, mm
};

/// Nothing where the blade itself runs to the steering axis.
[[nodiscard]] std::optional<CrownLine> crown_line(const Crown& crown);

/// "unicrown", "segmented"
[[nodiscard]] std::string name_of(const Crown& crown);

}  // namespace halfround::layout
