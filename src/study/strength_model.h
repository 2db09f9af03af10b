// From an assembly to a frame of beams: which places become nodes, what lies between them, how it is held.
// Inside the strength study only. Frame: the assembly's.
#pragma once

#include <string>
#include <vector>

#include "study/beam.h"
#include "study/strength.h"

namespace halfround::study {

/// Stretch of a member that one element carries.
struct Span {
  std::size_t member = 0;
  double s0 = 0, s1 = 0;
  std::size_t element = 0;
};

/// Stretch of a member that a joint covers.
struct JointZone {
  std::size_t member = 0;
  double from = 0, to = 0;  ///< mm along it
  bool own_end = false;     ///< the member ends in this joint: from here on it is inside the other part
};

struct StrengthModel {
  BeamFrame frame;
  std::vector<Span> spans;
  std::vector<JointZone> zones;
  int axle = -1, mount = -1;     ///< nodes; mount: where the calliper is fixed, -1: no brake
  Vec3 pad = Vec3::Zero();       ///< where the pads hold the rotor
  Vec3 pad_pull = Vec3::Zero();  ///< direction in which the rotor pulls the calliper, unit
  std::vector<int> own;          ///< node of each of the builder's own loads
};

/// in   every wall known
[[nodiscard]] base::Result<StrengthModel> strength_model(const bike::Assembly& assembly,
                                                         const StrengthOptions& options);

/// Why the strength can't be known, or empty.
[[nodiscard]] std::string what_is_unknown(const bike::Assembly& assembly);

[[nodiscard]] const bike::Material& material_of(const StrengthOptions& options, const std::string& part);

/// What a bend does to a thin tube's bending.
struct BendEffect {
  double soften = 1;  ///< on its bending compliance
  double raise = 1;   ///< on its greatest bending stress
};
/// in      curvature  1/mm
/// source  von Karman's first term and 0.9 / h^(2/3), h = wall / (radius of the bend) / r^2-like [from
/// memory: ASME
///         B31.3 appendix D; docs/strength.md]
[[nodiscard]] BendEffect bend_effect(const BeamSection& section, double curvature);

}  // namespace halfround::study
