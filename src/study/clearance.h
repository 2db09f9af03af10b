// The clearance study: how far tyre, rim, rotor, calliper, axle ends and mudguard stay from every member and
// plate, where, and a bound that is proved and not only found. Toe overlap, and whether the wheel comes out.
// What it counts and what it can't know: docs/clearance.md. Frame F of the assembly.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bike/assembly.h"
#include "bike/limit.h"
#include "shape/body.h"

namespace halfround::study {

using base::Vec3;

enum class BicycleType { racing, other };

struct Rim {
  double bead_seat = 0;      ///< diameter, mm
  double inside_width = 0;   ///< between the flanges
  double flange = 2;         ///< thickness of a flange, mm [assumed]
  double flange_height = 6;  ///< of the flange over the bead seat [common practice: 5.5 to 6.5]
  double depth = 14;         ///< from the bead seat inward to the spoke face [assumed]
};

struct Rotor {
  double diameter = 0;
  double inner_face = 0;   ///< from the wheel's middle plane to its inner face, toward the left
  double thickness = 1.8;  ///< [common practice]
};

/// The space the calliper takes, a box. Without a pose it is put where a post mount behind the left blade has
/// it.
struct Calliper {
  std::optional<base::Pose> X_FC;  ///< middle and sides: x out from the axle, y along the axle
  Vec3 half = Vec3(16, 19, 34);    ///< half sizes [assumed: measure yours]
};

/// A shell over the tyre, taken as full: nothing but the tyre lies under it.
struct Mudguard {
  double half_width = 0;
  double gap = 10;  ///< from the top of the tread to its inside, mm [common practice: 5 to 10]
  double thickness = 1.5;
  double depth = 15;  ///< from its top down to its edges
};

/// Room lost on the road, each by its own name; 0 switches one off.
struct Allowances {
  double growth = 1;       ///< casing tolerance and stretch [common practice: 1 to 2]
  double out_of_true = 1;  ///< of the wheel sideways [common practice]
  double hop = 1;          ///< of the wheel up and down [common practice]
  double mud = 0;          ///< on tyre or mudguard [common practice off the road: 8 to 15]
};

/// For the toe: the pedal's axle stands this far from the mid-plane and the cranks are level.
struct Pedals {
  double crank_length = 0;
  double front_centre = 0;   ///< bottom bracket to front axle, straight, mm
  double bracket_drop = 0;   ///< bottom bracket below the front axle, mm
  double from_middle = 130;  ///< pedal's centre to the mid-plane [assumed]
  double head_angle = 0;     ///< rad
  bool foot_held = false;    ///< clips, straps or cleats
  bool young = false;        ///< child or young adult: the shorter limit holds
};

struct ClearanceOptions {
  BicycleType type = BicycleType::other;
  std::optional<double> wish;  ///< the builder's own least gap of the bare tyre to the blades, mm
  double over_locknut = 0;     ///< 0: unknown, so no axle ends and no rotor place
  double axle_diameter = 0;    ///< of the axle ends; 0: unknown
  double axle_beyond = 30;     ///< how far they stand out from the hub's faces, mm [assumed]
  double slot_width = 0;       ///< of the dropouts; 0: closed holes, the axle is drawn out sideways
  std::optional<Rim> rim;
  std::optional<Rotor> rotor;        ///< an inner face of 0 is taken from the hub (docs/clearance.md)
  std::optional<Calliper> calliper;  ///< wants a rotor
  std::optional<Mudguard> mudguard;
  Allowances allowances;
  std::optional<Pedals> pedals;
  Vec3 way_out = Vec3(0, 0, -1);  ///< the way the wheel leaves, frame F
  double bound_gap = 0.01;        ///< at_least lies no farther under value than this within 20 mm, mm
};

struct ClearanceItem {
  bike::Part body;       ///< tyre, rim, rotor, calliper, axle end or mudguard
  bike::Part member;     ///< or plate
  double value = 0;      ///< mm, < 0: how deep the member's skin lies inside the body
  double at_least = 0;   ///< proved: no place is nearer
  double allowance = 0;  ///< what growth, mud and an untrue wheel take of it here, together
  Vec3 on_member = Vec3::Zero(), on_body = Vec3::Zero();
  double u = 0, s = 0;  ///< clock angle and place on a member; 0 on a plate
};

struct ToeOverlap {
  double value = 0;  ///< pedal's centre forward to the swept arc, mm, seen from above
  double limit = 100;
  std::string source;
  double steered = 0;     ///< angle of the bars at which the wheel is nearest, rad
  bool mudguard = false;  ///< the arc is the mudguard's
};

struct WheelRemoval {
  bool slotted = false;
  std::optional<double> slot_spare;           ///< slot width less axle, mm
  double tyre_at_least = 0;                   ///< proved least gap of the tyre all the way out, mm
  bike::Part tyre_member;                     ///< where it is narrowest
  double tyre_travel = 0;                     ///< how far out the wheel is there, mm
  std::optional<bool> rotor_leaves_calliper;  ///< false: it would run into the calliper's bridge
};

struct Clearance {
  std::vector<ClearanceItem> items;      ///< nearest first
  std::vector<std::string> not_checked;  ///< plain sentences
  bool calliper_assumed = false;         ///< its place or size is ours, not measured
  std::optional<ToeOverlap> toe;
  WheelRemoval removal;
  ClearanceOptions options;
};

/// Signed distances of the wheel's parts to every member between its ends, the ends taken as closed, and to
/// every plate. What holds the axle is not checked against the axle ends
/// that it holds.
///   within  value 1e-9 mm; at_least <= value, nearer than bound_gap where value < 20 mm, else than
///           bound_gap + 5 % of what lies above 20
///   fails   never; what is unknown stands in not_checked
[[nodiscard]] Clearance clearance(const bike::Assembly& assembly, const ClearanceOptions& options);

[[nodiscard]] std::vector<bike::Verdict> verdicts(const Clearance& clearance);

}  // namespace halfround::study
