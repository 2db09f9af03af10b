// The section of a tube as a beam needs it, quickly: closed forms for round and oval tubes. Member frame: m
// along the mark line, b = t x m. A measured outline is read by `section_at` of the mass study.
#pragma once

#include <optional>

#include "shape/profile.h"

namespace halfround::study {

using base::Vec2;

struct BeamSection {
  double area = 0;  ///< mm2
  Vec2 centre =
      Vec2::Zero();  ///< of area, from the centreline, (m, b), mm; the shear centre is taken to be there
  double I_m = 0, I_b = 0, I_mb = 0;  ///< about axes along m and b, mm4
  double J = 0;                       ///< mm4
  double shear_m = 0, shear_b = 0;    ///< shear areas for a force along m and along b, mm2
  double wall = 0;                    ///< mm
  double enclosed = 0;                ///< area within the wall's middle line, mm2
  double half_m = 0, half_b = 0;      ///< outer half axes, mm
  bool round = false;
};

/// in      s  mm along the centreline
/// out     nothing where the wall is unknown
/// within  1e-9 of section_at for round and oval tubes
/// source  second moments of the outer less those of the inner ellipse; perimeter by Ramanujan's second
/// formula (1e-10
///         up to 3 : 2); J by Bredt as in mass.h. Shear: Cowper's for a round ring with Poisson's ratio 0.3
///         [from memory: Cowper 1966], times 4 a^2 / (3 a^2 + b^2) along the half axis a of a thin oval
///         [derived, docs/strength.md]
[[nodiscard]] std::optional<BeamSection> beam_section(const shape::Profile& profile, double s);

/// A round bar with a bore.
[[nodiscard]] BeamSection round_bar(double diameter, double bore);

/// A flat plate: `width` along m, `thickness` along b. Shear factor 5/6; J = w t^3 (1 - 0.63 t / w) / 3
/// [from memory: Roark].
[[nodiscard]] BeamSection flat_bar(double width, double thickness);

}  // namespace halfround::study
