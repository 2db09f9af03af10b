// Stress along the members of a strength model, and what it is measured against. Inside the strength study
// only. Frames: sections in the member frame, points in the assembly's.
#pragma once

#include <string_view>
#include <vector>

#include "study/beam_solver.h"
#include "study/strength_model.h"

namespace halfround::study {

/// A place where stress is read, with all that does not depend on the load.
struct StressPlace {
  std::size_t member = 0, element = 0;
  double s = 0;
  shape::Frame frame;
  Vec3 centre = Vec3::Zero();  ///< of area, in space
  BeamSection section;
  std::vector<Vec2> outline;  ///< of a measured section, from its centre of area, mm; empty: an ellipse
  BendEffect bend;
  double notch = 1;                   ///< K_f all round
  std::string_view notch_of;          ///< of which notch; "": of a joint
  std::vector<const Notch*> local{};  ///< at one clock angle only: holes, bosses
  bool beside_joint = false;
  double yield = 0, ultimate = 0;  ///< MPa, here
  double endurance = 0;            ///< S_e, MPa; 0: no rule for this material
};
[[nodiscard]] std::vector<StressPlace> stress_places(const bike::Assembly& assembly,
                                                     const StrengthOptions& options,
                                                     const StrengthModel& model);

enum class BendStress { none, section, surface };

struct Stress {
  double u = 0;            ///< clock angle of the worst place, rad
  Vec2 at = Vec2::Zero();  ///< that place from the centreline, (m, b), mm
  double normal = 0, shear = 0;
  double von_mises = 0;           ///< MPa
  double bend_m = 0, bend_b = 0;  ///< bending about m and b, N mm
  double a = 0, b = 0, c = 0;     ///< normal stress at (x, y) from the centre of area: c + a y - b x
  std::string_view notch;         ///< the one that makes it the worst
};
/// Worst of the section's outside under a wrench at the element's b end.
///   source  beam theory; shear of torsion only: 2 I or Bredt. The transverse forces' own shear is left out
///   in      bend  what a bend adds: nothing, the stress over the section, that in the wall's surface
[[nodiscard]] Stress stress_at(const StressPlace& place, const Vec3& p_b, const Vec6& wrench,
                               BendStress bend);

/// As plastic_share of strength.h, for a tube with a bore of k times its diameter.
[[nodiscard]] double plastic_share(double ratio, double k);

/// Strength over stress against yield, and for repeated loads (Goodman's line for a mean).
[[nodiscard]] double yield_margin(const StressPlace& place, const Stress& stress);
[[nodiscard]] double fatigue_strength(const StressPlace& place, const FatigueRule& rule, double cycles);
/// The greater of K_f on the plain stress and a bend's surface stress: both speak of the same few
/// millimetres.
[[nodiscard]] Stress repeated_stress(const StressPlace& place, const Vec3& p_b, const Vec6& wrench);
///   in  raised  repeated_stress; of a pulsating load half of it is taken as the mean too, the careful way
[[nodiscard]] double fatigue_margin(const StressPlace& place, const Stress& raised, Cycle cycle,
                                    double strength);

}  // namespace halfround::study
