// The joining plan: how much filler each joint takes along its true line at its true angle, in which passes
// and rods, which cavities need a vent, in which order to tack and braze, and the cautions. Frame: points in
// the assembly's frame; clock angles u and stations s are the member's own. How it is reckoned:
// docs/braze.md.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "bike/filler.h"
#include "bike/limit.h"
#include "bike/material.h"
#include "study/mitre.h"

namespace halfround::study {

/// Area of a concave fillet of radius rho that touches both sides of an angle psi, mm2.
///   in      psi  between the two surfaces on the filler's side, rad, 0 < psi <= pi
///   source  rho^2 [cot(psi/2) - (pi - psi)/2] [derived] docs/braze.md
[[nodiscard]] double fillet_area(double rho, double psi);
/// From the corner to where that fillet ends on either side: rho cot(psi/2), mm.
[[nodiscard]] double fillet_leg(double rho, double psi);
/// From the corner to the fillet's centre of area, along the middle of the angle, mm [derived].
[[nodiscard]] double fillet_centroid(double rho, double psi);

/// A point of a joint line.
struct SeamPoint {
  double u = 0, s = 0;  ///< on the member
  Vec3 point = Vec3::Zero();
  double along = 0;  ///< from the seam's first point, mm
  double psi = 0;    ///< between the two surfaces on the filler's side, rad
  double share = 0;  ///< 1: counted here; 0.5: the other half is counted with the member it comes up against;
                     ///< 0: passes beside, no filler here
  Vec3 middle = Vec3::Zero();  ///< unit, from the line into the filler, midway between both surfaces
};

/// The outer edge where it meets, as a closed run of points in rising clock angle.
///   in   mitre  of this assembly
[[nodiscard]] std::vector<SeamPoint> seam(const bike::Assembly& assembly, const Mitre& mitre);

/// How a hand lays a fillet: the radius, but the leg never shorter nor longer than this. A true radius all
/// round would thin out to nothing on the flat sides and run far up into the narrow ones.
struct FilletShape {
  double radius = 6;     ///< mm [common practice: 5 to 8 at main joints]
  double leg_least = 0;  ///< mm; 0: no bound
  double leg_most = 0;   ///< mm; 0: no bound
};

/// Volume of a fillet along a seam, mm3.
struct FilletVolume {
  double along_line = 0;      ///< area times length of the joint line
  double along_centroid = 0;  ///< area times the way of its centre of area (Pappus): the better one
};
[[nodiscard]] FilletVolume fillet_volume(const std::vector<SeamPoint>& seam, const FilletShape& shape);

/// Length of rod that holds a volume, mm.
[[nodiscard]] double rod_length(double volume, double diameter);

/// A thin gap that filler creeps into: V = area x gap.
struct Capillary {
  std::string name;   ///< "left blade over left dropout"
  double area = 0;    ///< of one face of the gap, mm2
  double gap = 0.08;  ///< mm
  std::string filler = "BAg-24";
  bike::Part member{}, onto{};  ///< of the assembly; empty for a joint it does not know of
};
[[nodiscard]] Capillary socket(std::string name, double diameter, double depth, double gap);
/// A tab in a slotted tube: two walls, both faces of the tab.
[[nodiscard]] Capillary tab_in_slot(std::string name, double depth, double wall, double gap);

/// One pass: laid over the passes before it, up to this radius.
struct Pass {
  std::string filler = "RBCuZn-C";
  double radius = 6;  ///< mm
};

/// A rod that is there.
struct RackRod {
  std::string filler;
  double diameter = 0;  ///< mm
};

/// A stretch of a member that something else needs whole: a brake mount's feet, a boss with its notch.
struct KeepClear {
  bike::Part member;
  double from = 0, to = 0;  ///< along the member, mm
  std::string what;         ///< "the brake mount's feet"
};

struct BrazeOptions {
  std::vector<Pass> passes{{"RBCuZn-C", 2}, {"RBCuZn-C", 6}};
  double leg_least = 5, leg_most = 12;  ///< of the finished fillet, mm [5 to 8 common practice; 12 our own]
  double root_gap = 0.1;  ///< mean gap of a mitre before joining, mm [common practice: 0.1 to 0.25]
  std::vector<double> rods{1.5875, 2.38125, 3.175};  ///< diameters to be had of any filler, mm
  std::vector<RackRod> on_the_rack{};                ///< the shop's own: of these fillers no other
  double waste = 0.35;                               ///< of the filler laid [common practice: 0.2 to 0.5]
  double slot_gap = 0.08;                            ///< mm a side
  std::string slot_filler = "BAg-24";
  std::vector<Capillary> capillary{};   ///< joints the assembly does not know of
  double neck = 25;                     ///< heat-affected length beside a joint, mm [our own figure]
  double vent = 2.5;                    ///< hole, mm [common practice: 2 to 3]
  std::vector<KeepClear> keep_clear{};  ///< where no vent may lie
  /// of members and plates; what is not named is steel
  std::vector<std::pair<bike::Part, bike::Material>> materials{};
};

struct Rod {
  double diameter = 0, length = 0;  ///< mm; waste is in it
};

/// What one pass, or one capillary gap, takes.
struct Fill {
  std::string filler;
  double radius = 0;  ///< mm; 0: capillary
  double volume = 0;  ///< mm3 in the joint, without waste
  double mass = 0;    ///< kg in the joint, without waste
  std::vector<Rod> rods;
};

struct JointFill {
  std::string gap;  ///< a thin gap in words; "": a fillet
  bike::Part member;
  bike::End end = bike::End::end;
  bike::Part onto;
  std::vector<SeamPoint> seam;         ///< empty: capillary
  double length = 0;                   ///< of the joint line where filler goes, mm
  double psi_least = 0, psi_most = 0;  ///< rad
  double u_least = 0, u_most = 0;      ///< where, rad
  FilletVolume ideal;                  ///< the last radius all round
  double shaped = 0;                   ///< with the legs as a hand lays them, mm3: what the rods are for
  double flat_guess = 0;               ///< with 90 deg taken all round, mm3: for comparison only
  double root = 0;            ///< in the gap between the cut and the target, mm3; 0 where no wall is known
  std::vector<Fill> fills;    ///< by pass
  double mass = 0;            ///< kg, for the mass study
  std::vector<double> tacks;  ///< clock angles in order, rad
  double heavier = 1;         ///< wall of the target over wall of the member; 0: not known
};

struct Vent {
  bike::Part member;
  double s = 0, u = 0;  ///< mm, rad
  double diameter = 0;
  Vec3 point = Vec3::Zero();
  std::string why;
};

struct Step {
  std::string what;  ///< one line
  std::string why;
  std::string source;  ///< "common practice", "derived", or a name
};

struct HeatWindow {
  std::string first, second;              ///< fillers in the order they melt here
  double room_C = 0;                      ///< solidus of the first less liquidus of the second
  double work_from_C = 0, work_to_C = 0;  ///< heat of the second pass that leaves the first solid
  std::string says;
};

/// What all joints together take of one filler and rod.
struct Shopping {
  std::string filler;
  double volume = 0, mass = 0;  ///< without waste
  bool on_the_rack = false;     ///< the shop has rods of it
  std::vector<Rod> rods;        ///< any one of them will do
};

struct JoiningPlan {
  /// Why the metals can't be joined as asked; then there are vents and cautions, but no joints, rods or
  /// steps.
  std::optional<base::Problem> refused;
  std::vector<JointFill> joints;
  std::vector<HeatWindow> windows;
  std::vector<Shopping> shopping;
  std::vector<Vent> vents;
  std::vector<Step> steps;     ///< prepare, support, tack, braze, cool, clean: in order
  std::vector<Step> cautions;  ///< once, plainly
  double mass = 0;             ///< of all filler, kg
  double waste = 0;
};

/// The plan for an assembly.
///   in      mitres  of this assembly
///   within  volumes: 1e-3 of themselves for a fillet between tangent planes; a hand varies by far more
///   out     refused  filler-material   a metal that a torch spoils
///                    filler-stainless  bronze on stainless steel
///   fails   filler-cadmium, filler-unknown
///           braze-pass     no pass, a radius not above the one before
///           braze-number   a rod, gap, leg or waste that can't be
[[nodiscard]] base::Result<JoiningPlan> joining_plan(const bike::Assembly& assembly,
                                                     const std::vector<Mitre>& mitres,
                                                     const BrazeOptions& options = {});

/// One line for each pair of fillers that follow one another: does the second melt below the first?
[[nodiscard]] std::vector<bike::Verdict> verdicts(const JoiningPlan& plan);

}  // namespace halfround::study
