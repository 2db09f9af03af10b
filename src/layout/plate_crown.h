// Plate crown: one or two flat plates bored for the steerer and for both blades, which go on past the upper
// one and are capped. Frame F. docs/constructions.md
#pragma once

#include <optional>
#include <vector>

#include "base/result.h"
#include "layout/lay_out.h"

namespace halfround::layout {

/// Adds the crown plates (and caps) with their joints; steerer and blades are there
/// already.
///   fails  plate-bores-too-near  less metal between two bores than the crown asks for; says how much
///          plates-too-near       the lower plate would stand in the upper one
///          steerer-tapers-in-crown
[[nodiscard]] base::Result<void> add_crown(const PlateCrown& crown, const Fork& placed,
                                           bike::Assembly& assembly);

/// Where a member's middle line passes the height z, going up, mm.
[[nodiscard]] double s_at_height(const bike::Member& member, double z);
/// A bore with the member's own section and direction at s, in a plate square to the steering axis.
[[nodiscard]] bike::Bore bore_for(const bike::Member& member, double s);
/// A steerer whose diameter changes within a plate of this thickness about s, by more than a bore can take.
[[nodiscard]] std::optional<base::Problem> tapers_in_bore(const bike::Member& steerer, double s,
                                                          double thickness);
/// Half of a bore's greater width, mm.
[[nodiscard]] double half_of(const bike::Bore& bore);

struct Disc {
  base::Vec2 at = base::Vec2::Zero();
  double radius = 0;
};
/// The band drawn tight round some discs: arcs and straight lines, anticlockwise.
///   in  discs  at least one
[[nodiscard]] std::vector<bike::Corner> band_round(const std::vector<Disc>& discs);

}  // namespace halfround::layout
