// The wheel's parts as bodies, its way out, and the arc it sweeps before the toe: the pieces of the clearance
// study (clearance.h, docs/clearance.md). Frame F of the assembly.
#pragma once

#include "study/clearance.h"

namespace halfround::study {

struct WheelPart {
  bike::Part part;
  shape::Body body;
};

/// The wheel in its assembly: left along the axle, up against the way out, fore = left x up.
struct WheelFrame {
  Vec3 axle, left, up, fore;
};
[[nodiscard]] WheelFrame wheel_frame(const bike::Assembly& assembly, const ClearanceOptions& options);

/// Where a calliper stands whose place nobody measured: 30 degrees above straight back, its outer side a
/// little beyond the rotor's edge [assumed].
[[nodiscard]] base::Pose usual_calliper(const WheelFrame& wheel, const Rotor& rotor, const Vec3& half);

/// All parts that are known; what is not goes into `not_checked`, one sentence each.
[[nodiscard]] std::vector<WheelPart> wheel_parts(const bike::Assembly& assembly,
                                                 const ClearanceOptions& options,
                                                 std::vector<std::string>& not_checked);

/// The rotor with its face found, where that can be had.
[[nodiscard]] std::optional<Rotor> placed_rotor(const ClearanceOptions& options);

/// Nothing where the wheel can't be steered into the pedal's line.
[[nodiscard]] std::optional<ToeOverlap> toe_overlap(const bike::Assembly& assembly,
                                                    const ClearanceOptions& options);

/// in  tyre         with prepare_support()
///     at_rest      proved least gap of the tyre with the wheel in, and `member` it belongs to
[[nodiscard]] WheelRemoval wheel_removal(const bike::Assembly& assembly, const ClearanceOptions& options,
                                         const shape::Body& tyre, double at_rest, const bike::Part& member);

}  // namespace halfround::study
