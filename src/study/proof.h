// The bench test of this very fork: what is pushed, how far it gives, and what another reading says.
// Estimates of the strength study; the fork that was measured is the one that was drawn only as far as its
// walls are. Frame F.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "study/strength.h"

namespace halfround::study {

/// One push of the axle, the steerer held at the race seat and above it.
struct ProofTest {
  std::string load;             ///< "static bending"
  double force = 0;             ///< N, to the rear, square to the steering axis
  double held_above = 0;        ///< second hold, mm above the race seat
  double moves = 0;             ///< of the axle, under the load, mm
  std::optional<double> stays = {};  ///< once it is taken off, mm; nothing: a hinge forms, don't push that hard
  double joints_give = 0;       ///< up to here the joints give a little, mm
  double wrong = 0;             ///< from here on something is wrong, mm
};

/// Of the loads that a bench can copy: held, square to the axis, at the axle.
[[nodiscard]] std::vector<ProofTest> proof_tests(const Strength& strength);

/// What was read off the bench, mm.
struct ProofReading {
  double moved = 0;
  std::optional<double> stayed;
};

enum class ProofSays { as_calculated, joints_give, too_soft, too_stiff, bent };

struct ProofFinding {
  ProofSays says = ProofSays::as_calculated;
  ProofTest test;
  /// The blades' walls would have to be this much of what was typed to move so far; nothing where they don't
  /// explain it, or nothing needs explaining.
  std::optional<double> wall_share;
};

/// The first of the proof tests, with what was read.
///   in      strength  of this assembly
///   within  wall_share: 1e-3
///   fails   no-proof-test; those of strength()
[[nodiscard]] base::Result<ProofFinding> read_proof(const bike::Assembly& assembly, const Strength& strength,
                                                    const ProofReading& reading);

}  // namespace halfround::study
