// Gussets: flat plates in the corner between two tubes of a mitred joint. Frame F. docs/constructions.md
#pragma once

#include "base/result.h"
#include "layout/lay_out.h"

namespace halfround::layout {

/// What a gusset's inner corner is cut off by, so that it clears the joint's own fillet, mm [common
/// practice].
inline constexpr double kGussetCorner = 5;

/// Adds the gusset of a side, standing in the plane of both middle lines on the
/// lines where it cuts the tubes' surfaces.
///   fails  gusset-no-joint   the two are not mitred to each other
///          gusset-too-long   a leg runs past the end of its tube; says by how much
///          gusset-too-hollow its free edge would run into a leg
///          gusset-too-short  a leg no longer than the corner that is cut off
[[nodiscard]] base::Result<void> add_gusset(const GussetWish& wish, std::size_t number, bool left,
                                            bike::Assembly& assembly);

}  // namespace halfround::layout
