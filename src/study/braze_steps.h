// The words and the order of a joining plan: tacks, vents, heat, steps, cautions. Parts of study/braze.h.
#pragma once

#include "study/braze.h"

namespace halfround::study {

/// Four clock angles in the order to tack: the widest angle first, then across, then between; only where the
/// edge meets.
[[nodiscard]] std::vector<double> tacks(const std::vector<SeamPoint>& seam);
[[nodiscard]] std::vector<HeatWindow> heat_windows(const std::vector<JointFill>& joints);
/// One hole for every tube that the joints close at both ends.
[[nodiscard]] std::vector<Vent> vents(const bike::Assembly& assembly, const std::vector<Mitre>& mitres,
                                      const BrazeOptions& options);
[[nodiscard]] std::vector<Step> steps(const JoiningPlan& plan, const BrazeOptions& options);
[[nodiscard]] std::vector<Step> cautions(const JoiningPlan& plan);

}  // namespace halfround::study
