// What can be laid out and still can't be built. Frame F (bike/assembly.h).
#pragma once

#include "solve/solve.h"

namespace halfround::solve {

/// Refuses with the amount and with numbers that may do (job/offer.h tries them).
///   in     answer  laid out and mitred
///   fails  bend-too-tight, stock-too-short, blade-off-barrel, blade-in-hub, steerer-too-short,
///   tyre-too-wide,
///          tyre-in-steerer, joint-above-seat
[[nodiscard]] base::Result<void> refuse(const job::Job& job, const Answer& answer);

/// A forward bend that takes the remainder of the offset: its arc stays as long as it is, so its radius
/// changes.
struct RakedBend {
  double given = 0, made = 0;  ///< radius to the centreline, mm
  double half = 0;             ///< of the tube's depth where it is deepest in the bend, mm
};
[[nodiscard]] std::vector<RakedBend> raked_bends(const Answer& answer, bool left);

/// Where a joint runs past its barrel or the steerer by so little that it is built all the same; one sentence
/// each.
[[nodiscard]] std::vector<std::string> overhangs(const Answer& answer);

/// The same for what stands on the fork: a brake mount whose foot misses the blade.
///   in     answer  with its mount
///   fails  mount-misses-blade
[[nodiscard]] base::Result<void> refuse_parts(const job::Job& job, const Answer& answer);

}  // namespace halfround::solve
