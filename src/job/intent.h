// From what the builder typed to what the unicrown layout wants. Frames: bench frame L (bike/blade.h) for the
// blades.
#pragma once

#include <optional>

#include "base/result.h"
#include "job/job.h"
#include "layout/lay_out.h"
#include "study/handling.h"

namespace halfround::job {

/// The layout's intent. Axle-to-crown becomes the drop along the axis, rows become stations and runs, the
/// tyre its surface, a measured outline its polar form.
///   in     job  as read_job() gives it
///   fails  tyre-designation, as bike::tyre_from_designation; mass-without-wall, loaded-radius
[[nodiscard]] base::Result<layout::Intent> intent_of(const Job& job);

/// What the bare stock weighs, kg; nothing where a wall is unknown.
[[nodiscard]] std::optional<double> stock_mass(const bike::Blade& blade, double density_kg_m3);
/// The even wall with which a blade's stock weighs that much, mm; nothing where no wall from 0.1 mm to solid
/// does.
///   in      mass  kg
///   within  1e-6 of the mass study's own volume per length
[[nodiscard]] std::optional<double> wall_by_weight(const bike::Blade& blade, double mass,
                                                   double density_kg_m3);

/// Bare steerer under the seat for the cutter that faces it, mm [common practice].
inline constexpr double kLeastSeatGap = 3.0;

/// The tyre as the job describes it, by designation or by its measured half profile.
[[nodiscard]] base::Result<bike::Tyre> tyre_of(const Job& job);

/// The bicycle as the handling study wants it.
///   in   job  with its [bicycle] section
///        front_radius  over the tyre, mm
[[nodiscard]] study::BicycleParts bicycle_of(const Job& job, double front_radius);

}  // namespace halfround::job
