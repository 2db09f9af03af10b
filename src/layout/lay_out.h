// From what is wanted to an assembly: two blades of any construction, and what holds them above and below.
// Frame F (bike/assembly.h). Each side is laid out as a left one and mirrored when it is the right.
// The geometry and the way the two unknowns are found are explained in docs/unicrown.md.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "bike/blade.h"
#include "layout/crown.h"
#include "layout/words.h"
#include "shape/distance.h"

namespace halfround::layout {

using base::Vec3;

struct Shares {
  double tilt = 0;          ///< the blade's plane leans forward, mm at the axle end
  double mitre_offset = 0;  ///< the blade's plane stands ahead of the steering axis at the crown, mm
  double rake = 0;          ///< the blade's own forward bend, mm
  double dropout_lead = 0;  ///< the axle stands ahead of the blade's end, mm
  [[nodiscard]] double sum() const { return tilt + mitre_offset + rake + dropout_lead; }
};

struct Wished {
  Wish what = Wish::clearance;
  double value = 0;  ///< mm or rad
};

struct LowerEnd {
  LowerEndKind kind = LowerEndKind::insert;
  double blade_from_hub = 0;  ///< from the hub's face outward to the blade's centreline end, mm
  double rise = 0;            ///< from the axle up to the blade's centreline end, mm (0 for an insert)
  double diameter = 0;        ///< of the insert's barrel, or of the hood, mm
  double length = 0;          ///< of the barrel outward from the hub's face, or of the hood, mm
  double bore = 0;            ///< of the barrel or the block, for the axle, mm
  double thickness = 0;       ///< of a dropout or a block, outward from the hub's face, mm
  double slot_depth = 0;      ///< how far a tab reaches up into the slotted blade, mm
  double slot_width = 0;      ///< of the axle slot in a dropout, mm
  double socket_depth = 0;    ///< how far the blade goes into a block, mm
  double edge = 0;            ///< least metal round the bores of a block, mm
};

struct Steerer {
  std::vector<shape::Station> stations;  ///< from the lower end up
  double length = 0;                     ///< all of it, mm
  double below_seat = 0;                 ///< how much of it stands below the crown race seat, mm
};

/// A flat plate wished for in the corner of a mitred joint, on both sides.
struct GussetWish {
  bike::PartKind first = bike::PartKind::blade, second = bike::PartKind::crown_tube;  ///< the two tubes
  bool above = false;                        ///< over the corner, else under it
  double along_first = 0, along_second = 0;  ///< legs from the corner, mm
  double thickness = 0;                      ///< mm
  double hollow = 0;                         ///< radius of the free edge, cut in; 0: straight, mm
};

/// What is wanted and what is there, in plain numbers: one structure for every construction.
struct Intent {
  double offset = 0;
  double drop = 0;  ///< crown race seat to axle along the steering axis, mm
  double over_locknut = 0;
  shape::Tube tyre;  ///< in the wheel frame
  Steerer steerer;
  Crown crown;  ///< empty: the blades are mitred onto the steerer
  LowerEnd lower_end;
  std::vector<GussetWish> gussets;
  bike::Blade left;
  std::optional<bike::Blade> right;                   ///< empty: mirror image of the left one
  std::optional<LowerEnd> right_lower_end;            ///< empty: like the left one
  std::array<std::optional<double>, 4> given_shares;  ///< by Share; rake is never given: the blade has it
  std::optional<Share> remainder = Share::tilt;       ///< empty: every share is given
  std::array<Wished, 2> wishes;
  std::optional<std::array<Wished, 2>> right_wishes;  ///< the right blade's own; empty: those of the left one
  double near_splay = 0;  ///< of several solutions the one nearest this splay is taken, rad
  [[nodiscard]] bool mirrored() const { return !right && !right_lower_end && !right_wishes; }
};

/// The intent of one side alone, as a left one.
[[nodiscard]] Intent own_side(const Intent& intent, bool left);

/// One blade where it came to lie (as a left blade).
struct Placed {
  double splay = 0;         ///< lean of the lower run outward going down, rad
  double lower_trim = 0;    ///< cut from the tip to the centreline's end at the lower end, mm
  double tilt_angle = 0;    ///< of the blade's plane, rad
  double rake_scale = 1;    ///< how far the forward bend must be opened or closed: new angle / old angle
  double s_crown = 0;       ///< where the centreline reaches the crown's line (or the plane y = 0), mm
  double s_top = 0;         ///< where it ends at the top, from the tip, mm
  double y_crown = 0;       ///< how far from the plane y = 0 it reaches the line, mm; 0 for a unicrown
  double crown_height = 0;  ///< from the crown race seat down the axis to where the line meets it, mm
  double top_angle = 0;     ///< between centreline and steering axis at s_crown, rad
  Shares shares;
  shape::Gap clearance;  ///< least gap to the tyre, frame F of a left blade
  shape::Tube tube;      ///< placed in F, as a left blade
};

struct OtherSolution {
  double splay, lower_trim;
};

struct Fork {
  bike::Assembly assembly;
  Placed left, right;  ///< right as its own mirror image, that is: as a left blade
  bool mirrored = true;
  std::vector<OtherSolution> others;  ///< of the left blade
};

/// Lays the fork out.
///   fails  wish-unreachable     says the nearest that can be had and by how much it differs
///          offset-unreachable   no share can make up the offset; says by how much
///          blade-misses-steerer the blade never reaches the middle
///          those of the crown, the lower end and the gussets
[[nodiscard]] base::Result<Fork> lay_out(const Intent& intent);

/// Places one blade for given unknowns; the building block of lay_out, open for tests and for drawing.
[[nodiscard]] base::Result<Placed> place(const Intent& intent, const bike::Blade& blade, double splay,
                                         double lower_trim);

/// What became of a wish on one side, mm or rad.
///   in  placed        with its clearance
///       stock_length  of that blade
[[nodiscard]] double outcome(Wish wish, const Placed& placed, double stock_length);
[[nodiscard]] bool is_angle(Wish wish);

[[nodiscard]] std::string name_of(Wish wish);    ///< "tyre clearance"
[[nodiscard]] std::string name_of(Share share);  ///< "blade tilt"

}  // namespace halfround::layout
