// Inside of the layout room: one blade for given unknowns, in the two halves the solver needs apart,
// and the solver.
#pragma once

#include "layout/lay_out.h"

namespace halfround::layout {

/// Everything of Placed but the tube and the clearance; cheap.
///   in  line  the blade's centreline on the bench
[[nodiscard]] base::Result<Placed> stand_at(const Intent& intent, const bike::Blade& blade,
                                            const shape::Centreline& line, double splay, double lower_trim);

/// The bench tube moved to where `placed` says, frame F, as a left blade.
[[nodiscard]] shape::Tube put(const Intent& intent, const Placed& placed, const shape::Tube& bench);

/// The blade placed so that both wishes are met, clearance included; other ways to meet them go to `others`.
[[nodiscard]] base::Result<Placed> solve_side(const Intent& intent, const bike::Blade& blade,
                                              std::vector<OtherSolution>& others);

}  // namespace halfround::layout
