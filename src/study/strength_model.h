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
  int axle = -1, mount = -1;     ///< nodes; mount: the calliper at its pads, -1: no brake
  Vec3 pad = Vec3::Zero();       ///< where the pads hold the rotor
  Vec3 pad_pull = Vec3::Zero();  ///< direction in which the rotor pulls the calliper, unit
  std::vector<int> own;          ///< node of each of the builder's own loads
};

/// in   every wall known
[[nodiscard]] base::Result<StrengthModel> strength_model(const bike::Assembly& assembly,
                                                         const StrengthOptions& options);

/// Why the strength can't be known, or empty.
[[nodiscard]] std::string what_is_unknown(const bike::Assembly& assembly);

[[nodiscard]] const bike::Material& material_of(const StrengthOptions& options, const bike::Part& part);

/// The part of a member that stands outside the parts its ends are joined to.
struct Seen {
  double from = 0, to = 0;  ///< mm along it
  bool joined_from = false, joined_to = false;
};
[[nodiscard]] Seen seen(const std::vector<JointZone>& zones, const bike::Member& member, std::size_t index);

/// The bend's effect at s of a member; none where the options leave it out, nor inside a joint.
[[nodiscard]] BendEffect bend_at(const StrengthOptions& options, const bike::Member& member,
                                 const Seen& range, const shape::Frame& frame, const BeamSection& section,
                                 double s);

/// Its outside with another wall. Butted: thick from its lower end up to `until`, then tapering over 40 mm.
void rewall(bike::Member& member, double thick, double until, bool butted);

}  // namespace halfround::study
