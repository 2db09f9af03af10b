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

/// A crown that is there already, cast or machined: a block bored for the steerer, with a blind socket for
/// each blade. Its measures are given; the sockets' own direction need not be the one the blades come to
/// have.
struct SocketCrown {
  double thickness = 0;  ///< of the block along the steering axis, mm
  double height = 0;     ///< of its middle below the seat, mm
  double spacing = 0;    ///< between the sockets' middles at their mouths, in the lower face, mm
  double ahead = 0;      ///< the mouths' middles ahead of the steering axis, mm
  double splay = 0;      ///< the sockets go outward going down, rad
  double lean = 0;       ///< and forward, rad
  double width = 0;      ///< of a socket, across the bicycle, mm
  double depth = 0;      ///< fore and aft, mm
  double reach = 0;      ///< how deep a blade goes in, along the socket, mm
  double edge = 0;       ///< metal round every bore, mm
};

/// monostate: blades mitred onto the steerer
using Crown = std::variant<std::monostate, SegmentedCrown, PlateCrown, SocketCrown>;

struct CrownLine {
  double height = 0;             ///< mm below the crown race seat
  double angle = base::kPi / 2;  ///< rad
  double above = 0;              ///< how far the blade goes on past the line, mm
};

/// Nothing where the blade itself runs to the steering axis.
[[nodiscard]] std::optional<CrownLine> crown_line(const Crown& crown);

/// How far a blade goes on past the line, mm; a blade cut short makes it less. 0 for a unicrown.
[[nodiscard]] double past_line(const Crown& crown);
void set_past_line(Crown& crown, double past);
/// The least of it that still holds the blade, mm: the crown tube wholly on it, the plate, most of the socket
/// (ours).
[[nodiscard]] double least_past_line(const Crown& crown);

/// "unicrown", "segmented", "plate", "socket"
[[nodiscard]] std::string name_of(const Crown& crown);

}  // namespace halfround::layout
