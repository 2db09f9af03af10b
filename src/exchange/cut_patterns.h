// The cut drawings of a solved fork: templates of its mitres, templates for slotting a blade, its plates, and
// the profiles of the adapters. Frames: those of cut_drawing.h.
#pragma once

#include <vector>

#include "exchange/cut_drawing.h"
#include "job/job.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"

namespace halfround::exchange {

/// One drawing a mitre: the flat template without glue flap (edge to edge round the tube), marked with its
/// mark line and ticks every 30 degrees. Unrolled for the job's paper thickness; not corrected for any
/// printer.
///   within  its `chord_error` of the study's curve; the study's own points are its corners
[[nodiscard]] std::vector<CutDrawing> template_patterns(const job::Job& job, const solve::Answer& answer);

/// One drawing a slotted blade end: a strip round the tube with both slots cut out, edge to edge. The end of
/// the strip lies on the blade's end.
///   within  the section at the end is taken all along the slot; the tool adds no gap to the plate's
///   thickness
[[nodiscard]] std::vector<CutDrawing> slot_patterns(const job::Job& job, const solve::Answer& answer);

/// One drawing a plate: outline and bores in their true arcs, as at the plate's middle plane. A bore that
/// leans is drawn as the circle of its tool with a note: it has to be bored along its axis.
[[nodiscard]] std::vector<CutDrawing> plate_patterns(const solve::Answer& answer);

/// Two drawings an adapter: half its profile above the axis, for turning, and all of it, cut along the axis.
/// Fitted diameters are drawn at their nominal size; the words give the limits.
[[nodiscard]] std::vector<CutDrawing> adapter_patterns(const solve::ShopPlan& plan);

/// All of them, in this order.
[[nodiscard]] std::vector<CutDrawing> cut_patterns(const job::Job& job, const solve::Answer& answer,
                                                   const solve::ShopPlan* plan);

}  // namespace halfround::exchange
