// The pictures on the cards, drawn from the set-up itself: tube and cutter at their true angle, the clock
// where it stands in the machine, the gap map. Frames: the machine's C (shop/set_up.h) in, P out; scales
// differ and are not stated: these are pictures, not drawings.
#pragma once

#include "bike/assembly.h"
#include "drawing/on_paper.h"
#include "paper/draughting.h"
#include "solve/shop_plan.h"
#include "study/braze.h"

namespace halfround::drawing {

/// From above: the tube as held, pointing away from the builder; the cutter across it at its true angle.
[[nodiscard]] Items seen_from_above(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                                    const shop::MachineSetUp& set_up, const Box& box);

/// From where the builder stands: the tube's end with its mark line where it has to stand, the cutter above
/// or below it.
[[nodiscard]] Items seen_along(const bike::Assembly& assembly, const shop::MachineSetUp& set_up,
                               const Box& box);

/// The tube from the side with the feature that is touched and the setting point.
[[nodiscard]] Items stop_picture(const shop::Stop& stop, bool cut_to_the_right, const Box& box);

/// Gaps round the clock as a line; what passes beside is toned, what stays uncut hatched.
[[nodiscard]] Items gap_map(const shop::CutterFit& cutter, const Box& box);

/// A tube with its saw line at its true lean; of two lines seen along the one where they meet.
[[nodiscard]] Items saw_picture(const shop::RoughCut& saw, bool upper, bool mirrored, const Box& box);

/// The clock of a tube seen from its lower end with the tacks numbered in their order.
[[nodiscard]] Items tack_clock(const std::vector<double>& tacks, const Vec2& centre, double radius);

}  // namespace halfround::drawing
