// The mass study: what each member weighs once its ends are cut, where its weight stands, and the properties
// of a section. Frames: centres in the assembly's frame; sections in the member frame (m along the mark line,
// b = t x m). Filler is counted where
// the joining plan's is handed in; axle and bosses are not.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "bike/assembly.h"
#include "study/mitre.h"

namespace halfround::study {

using base::Mat3;

/// Cr-Mo steel [source: ASM data sheets for AISI 4130, 7.85 g/cm3].
inline constexpr double kCrMoDensity_kg_m3 = 7850;

/// Properties of a tube's section about its own centre of area.
struct Section {
  double area = 0;             ///< of the wall, mm2
  Vec2 centre = Vec2::Zero();  ///< (along m, along b) from the centreline, mm
  double I_m = 0, I_b = 0;     ///< second moments about axes along m and along b, mm4
  double I_mb = 0;             ///< product moment, mm4
  double J = 0;                ///< for torsion, mm4
  double Z_m = 0, Z_b = 0;     ///< I over the farthest outside point from that axis, mm3
};

/// The section at s. The inner boundary is the outer one's half axes (or measured radii) less the wall, so an
/// oval tube is a little thinner between its axes than a wall of even thickness: 0.4 to 0.8 % in area and I
/// for a 28 x 20 oval of 1 mm.
///   in      s  mm along the centreline
///   out     nothing where the wall is unknown
///   within  1e-9 of itself for round and oval sections
///   source  area and I by quadrature [derived]; J of a round tube 2 I; of any other 4 A_m^2 t / S on the
///   wall's
///           middle line [from memory: Bredt's formula; exact only for thin walls]
[[nodiscard]] std::optional<Section> section_at(const shape::Profile& profile, double s);

struct PartMass {
  bike::Part part;              ///< member or plate; empty: `filler`
  std::string filler;           ///< of which joint: "filler, left blade, upper end"
  std::optional<double> mass;   ///< kg; nothing where a wall is unknown
  double volume = 0;            ///< mm3
  Vec3 centre = Vec3::Zero();   ///< of gravity
  Mat3 inertia = Mat3::Zero();  ///< about its own centre, axes of the assembly's frame, kg mm2
};

/// Something small that stands at a place: the filler of a joint.
struct PointMass {
  std::string name;
  double mass = 0;  ///< kg
  Vec3 at = Vec3::Zero();
};

struct Mass {
  std::vector<PartMass> parts;  ///< members, then plates, in the assembly's order, then point masses
  std::optional<double> total;  ///< kg; nothing where one part is unknown
  Vec3 centre = Vec3::Zero();   ///< of all known parts
  Mat3 inertia = Mat3::Zero();  ///< of all known parts about that centre, kg mm2
  double about_steering = 0;    ///< moment of inertia about the z axis of the assembly's frame, kg mm2
  double density_kg_m3 = kCrMoDensity_kg_m3;
};

struct MassOptions {
  double density_kg_m3 = kCrMoDensity_kg_m3;
  std::vector<std::pair<bike::Part, double>> other_densities = {};  ///< member or plate, kg/m3
  std::vector<PointMass> more = {};                                 ///< filler
};

/// Every member between its cut edges, and every plate.
///   in      mitres  of this assembly; an end without one is cut square at its design point
///   within  1e-6 of a member's mass: every layer of the wall is cut where its own generators meet the target
[[nodiscard]] Mass mass(const bike::Assembly& assembly, const std::vector<Mitre>& mitres,
                        const MassOptions& options = {});

}  // namespace halfround::study
