// The strength study: a beam model of the whole assembly under the published load cases and the builder's
// own. Deflection, stiffness, stress along every member, margins against yield and fatigue, the weakest
// place. Frames: the assembly's own for points and deflections; sections in the member frame. How it is
// computed, what it leaves out and who was asked: docs/strength.md. It is an estimate: kStrengthCaution
// belongs on each sheet.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "bike/limit.h"
#include "bike/material.h"
#include "study/load_case.h"

namespace halfround::study {

inline constexpr const char* kStrengthCaution =
    "An estimate for the builder's judgement, not a certificate. A prototype is proof-tested. The standard "
    "texts in "
    "force, local rules and licensed practice come first.";

/// The held member and its two bearings. The lower one carries along the axis too; the upper one stops the
/// twist.
struct Bearings {
  bike::Part member = bike::part(bike::PartKind::steerer);
  double lower = 0;  ///< height along +z of frame F: the crown race seat, mm
  double upper =
      150;  ///< false head tube of the tests [TBIS 4210-6:2019 Annex A]; the steerer's end if shorter
};

/// The axle that joins the two lower ends.
struct AxleBar {
  double diameter = 12, bore = 0;  ///< mm
  double E = 205e3, G = 80e3;      ///< MPa; steel
  bool clamped = true;             ///< false: free to turn in the lower ends (a nutted or floating axle)
};

/// What a bolt of the brake's mount stands on: a joint of its own, with heat and notch.
struct BrakeFoot {
  double s = 0;     ///< middle, along the mount's member from its lower end, mm
  double half = 7;  ///< half its length along the member, mm
};

/// The disc brake: all of it on one member. The calliper is stiff and holds on by its two feet.
struct Brake {
  bike::Part member = bike::part(bike::PartKind::blade, bike::Side::left);
  double arm = 368;             ///< of the braking force below the axle, mm: brake_arm()
  double along = 43.8;          ///< middle of the mount: up the blade from the axle, mm
  double behind = 55.9;         ///< and square to it, to the rear: a post mount for a 160 rotor, mm
  double pad_radius = 70;       ///< where the pads hold the rotor, mm; about 10 less than the rotor's radius
  double rotor_offset = 39.5;   ///< rotor from the wheel's middle plane, mm
  double pitch = 25.4;          ///< between the two feet along the member, where `feet` does not say, mm
  std::vector<BrakeFoot> feet;  ///< from the real bolts; empty: half a pitch below and above `along`
};

/// A small place that raises the stress for fatigue: a seat's shoulder, a hole, a boss.
struct Notch {
  std::string what;  ///< "crown race seat", "vent hole"
  bike::Part member;
  double s = 0;             ///< middle, mm from the member's lower end
  double reach = 5;         ///< half its length along the member, mm
  std::optional<double> u;  ///< its clock angle, rad; nothing: all round
  double K_f = 1;
  bool heat = false;  ///< brazed on: the wall beside it is as weak as beside a joint
};

/// Endurance of steel by the method of Shigley's Mechanical Engineering Design. The surface pair is the one
/// of the EDITIONS UP TO THE 10TH; the 11th (2020) changed them, so put in your own pair and say so in
/// `edition`.
struct FatigueRule {
  std::string edition = "Shigley, editions up to the 10th, cold-drawn surface";
  double endurance_ratio = 0.5;                 ///< S_e' / S_ut
  double endurance_cap = 700;                   ///< MPa
  double surface_a = 4.51, surface_b = -0.265;  ///< k_a = a S_ut^b, S_ut in MPa
  bool size_factor = true;       ///< k_b = 0.879 d^-0.107, d in inches: the section's greatest width
  double load_factor = 1;        ///< k_c; bending governs, torsion is in the equivalent stress
  double reliability = 0.814;    ///< k_e; 0.814: 99 of 100
  double thousand_cycles = 0.9;  ///< strength at 1000 cycles over S_ut
};

/// What brazing or welding does to a place.
struct JointRule {
  double heat_reach = 30;   ///< strength is the knocked-down one up to here from a joint's edge, mm
  double notch_reach = 10;  ///< and stress is raised by K_f up to here, mm
  double K_f = 1.75;        ///< for fatigue only [common practice: 1.5 to 2 at a fair fillet's toe]
};

struct StrengthOptions {
  TestedAs type = TestedAs::city;
  bool published = true;                ///< the published cases of that type
  std::vector<PublishedLoad> left_out;  ///< but for these
  std::vector<LoadCase> own;            ///< and the builder's
  bike::Material material = *bike::find_material("Cr-Mo 4130");
  std::vector<std::pair<bike::Part, bike::Material>>
      other_materials;  ///< member or plate, and what it is made of
  Bearings bearings;
  AxleBar axle;
  std::optional<Brake> brake;  ///< nothing: no disc brake, no brake cases
  std::vector<Notch> notches;
  FatigueRule fatigue;
  JointRule joint;
  bool bend_flexibility = true;  ///< thin tubes flatten in tight bends and give more (von Karman)
  double yield_margin = 1, fatigue_margin = 1;  ///< what the builder wants at least
  double station_step = 10;                     ///< between the places where stress is read, at most, mm
  double longest_element = 0;  ///< mm; 0: elements run from joint to joint, see docs/strength.md
  base::Pose X_AF = base::Pose::Identity();  ///< pose of the fork frame in the assembly's frame
};

/// Stress at one place along a member: the worst of the clock angles.
struct StressStation {
  double s = 0;               ///< mm
  Vec3 point = Vec3::Zero();  ///< of the centreline
  double u = 0;               ///< clock angle of the worst place, rad
  double von_mises = 0;       ///< MPa; of repeated cases with K_f or a bend's rise
  double margin = 0;  ///< strength over stress, the less of yield and fatigue; infinite where unloaded
};
struct MemberStress {
  bike::Part member;
  std::vector<StressStation> stations;  ///< rising s, along the part that carries load outside its joints
};

struct WeakPlace {
  bike::Part member;
  double s = 0, u = 0;        ///< mm along it, clock angle in rad
  Vec3 point = Vec3::Zero();  ///< on the outer surface
  double stress = 0;          ///< MPa: von Mises; for fatigue the amplitude with K_f and the mean's share
  double strength = 0;        ///< MPa: what it is measured against
  double margin = 0;          ///< strength / stress
  bool beside_joint = false;  ///< within heat_reach of one
  std::string notch;          ///< the notch that makes it the weakest place: "vent hole"; "": none of ours
  bool both_sides = false;    ///< the mirrored place on the other side is as weak
};

struct CaseResult {
  LoadCase load;
  double force = 0;                  ///< N; of an impact the equivalent static one, a rough estimate
  Vec3 deflection = Vec3::Zero();    ///< of the axle's middle, mm
  std::optional<WeakPlace> yield;    ///< first yield, for static cases and impacts
  std::optional<WeakPlace> hinge;    ///< of those: where a whole section comes nearest to yielding
  std::optional<WeakPlace> fatigue;  ///< for repeated cases; nothing: unknown, `note` says why
  /// Permanent set at the axle, mm; infinite where a hinge forms under a load that stays. Of an impact the
  /// most, with the least in `set_least`: a rough estimate.
  std::optional<double> set, set_least;
  std::vector<MemberStress> members;  ///< in the assembly's order
  std::string note;
};

struct Strength {
  std::string unknown;  ///< why there is no answer ("the wall of blade.left is not given"); empty: there is
  std::vector<CaseResult> cases;
  double fore_aft = 0;  ///< stiffness at the axle along x and y of frame F, N/mm
  double lateral = 0;
  double torsional = 0;         ///< couple at the axle about the steering axis, N mm / rad
  double dummy_deflection = 0;  ///< at the axle under 1200 N rearward, mm
  double deflection_ratio =
      0;  ///< 1417 * 10000 * deflection / L^3 [TBIS 4210-6:2019 Annex A]; the yardstick is 1
  double length_along_axis = 0;  ///< that L: axle to crown race seat along the steering axis, mm
  double volume = 0;             ///< of all members between their design points, mm3 (not trimmed)
  double mass_members = 0;       ///< the same in kg
  int elements = 0, nodes = 0;
  StrengthOptions options;  ///< as used
};

/// Deflection of the axle, stress and margins for every case.
///   within  0.3 % of the same beam theory, elements however fine; the theory itself: docs/strength.md
///   fails   not-held, joint-unknown, axle-not-reached, member-unsupported, load-place-unknown
[[nodiscard]] base::Result<Strength> strength(const bike::Assembly& assembly, const StrengthOptions& options);

/// One line a case: permanent set or yield, or fatigue; unknown ones say why.
[[nodiscard]] std::vector<bike::Verdict> verdicts(const Strength& strength);

/// A verdict of `verdicts` that is not met, and the wall that meets it: found by solving, in steps of 0.1 mm.
/// Walls grow inward over the part of the tube round the weakest place. Nothing where 4 mm more do not do it.
/// Not on the editing path: up to six strength studies a line that is not met.
void add_wall_fixes(const bike::Assembly& assembly, const Strength& now, std::vector<bike::Verdict>& lines);

/// Permanent set of a beam under a load that stays, from its sections' plastic curvature.
///   in      ratio   greatest nominal stress over yield, 0 and more
///   out     plastic curvature over elastic curvature under the same moment; infinite from 4 / pi on
///   source  [derived] elastic and perfectly plastic thin round tube: M / M_y = (2 / pi) (a / sin a + cos a)
///           with sin a = elastic depth over radius
[[nodiscard]] double plastic_share(double ratio);
/// Full plastic moment over first yield: of a thin tube 4 / pi, of a thick one 16 / (3 pi) (1 - k^3) / (1 -
/// k^4) with k = bore over diameter.
///   source  handbook tables of plastic section factors
[[nodiscard]] double shape_factor(double outside, double bore);

/// What a change would bring.
struct Change {
  std::string what;                                 ///< "0.2 mm more wall in both blades"
  std::optional<double> yield_before, yield_after;  ///< least margins over all cases
  std::optional<double> fatigue_before, fatigue_after;
  double fore_aft_before = 0, fore_aft_after = 0;  ///< N/mm
  double mass_change = 0;                          ///< kg
  std::string weakest_after;                       ///< "steerer, 62 mm from its lower end"
};

/// Recomputes for thicker walls and a thicker steerer. Not on the editing path: one strength study a line.
[[nodiscard]] base::Result<std::vector<Change>> what_would_it_bring(const bike::Assembly& assembly,
                                                                    const Strength& now);

/// 1417 * 10000 * deflection / L^3 [TBIS 4210-6:2019 Annex A].
///   in  deflection  mm under 1200 N; length  mm
[[nodiscard]] double deflection_ratio(double deflection, double length);

/// Endurance limit S_e, MPa, and strength at a number of cycles by the same rule.
///   in  width  of the section, mm
[[nodiscard]] double endurance_limit(const FatigueRule& rule, double ultimate, double width);
[[nodiscard]] double strength_at(const FatigueRule& rule, double ultimate, double width, double cycles);

}  // namespace halfround::study
