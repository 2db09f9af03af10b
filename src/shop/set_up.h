// What the hand sets at the machine for every mitred end, and the gap that each of the shop's cutters leaves.
// The maths is explained in docs/set-ups.md. Frames: points in the assembly's frame F; clock angles the
// member's own. The machine's frame C:
//
//      \    left              seen from above; the tube lies level with its end that is cut away from the
//       \  angle  ^           builder, the cutter's axis lies level too and leans to the LEFT of the tube,
//        \        | tube      by an angle of 0 to 90 degrees. `up` looks at the reader. The cutter's axis
//         \       |           stands above or below the tube's by the offset.
//          cutter | builder
//
// The mirrored end (the other blade) keeps angle and stop; its offset changes its sign, and where one has the
// clock angle u up the other has 180 degrees - u.
#pragma once

#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/shop.h"
#include "study/mitre.h"

namespace halfround::shop {

using base::Vec2;
using base::Vec3;

enum class Reached {
  met,     ///< the target's surface is here; `gap` says how far the cut stays from it
  beside,  ///< passes beside the target; `gap` says how far the cutter takes it short of the axis plane
  uncut,   ///< the cutter passes beside: the hand does it
};

struct GapPoint {
  double u = 0;      ///< clock angle, rad
  double gap = 0;    ///< from the edge of the cut square to the target's surface, mm; NaN where uncut
  double along = 0;  ///< the same along the tube, mm; NaN where uncut
  Reached reached = Reached::met;
};

/// A feature that can be touched, and how far the setting point lies from it toward the end that is cut.
struct Stop {
  std::string from;     ///< "scribe line", "end of the stock", "end of the bend", "start of the bend"
  double s = 0;         ///< where it stands on the centreline, mm from the member's start end
  double distance = 0;  ///< along the held axis, mm; < 0: back from it
};

/// One cutter at its best place: its axis parallel to the target's, nothing of the target's room left
/// standing, and of those places the one with the least greatest gap.
struct CutterFit {
  std::size_t cutter = 0;  ///< index into shop.cutters
  std::string name;
  double diameter = 0;
  bool serves = false;
  std::string why_not;             ///< one sentence where it doesn't
  double shift_back = 0;           ///< from the target's axis toward the tube, mm (< 0: away from the tube)
  double shift_side = 0;           ///< square to that, toward `up`-side of the swing plane, mm
  Vec3 axis_point = Vec3::Zero();  ///< a point of its axis, frame F
  double offset = 0;               ///< its axis above (+) or below (-) the tube's, mm
  double aside = 0;  ///< of the setting point, to the left of the tube's axis, mm; 0 where the axes cross
  std::vector<Stop> stops;     ///< to the setting point
  std::vector<GapPoint> gaps;  ///< rising u; the 24 clock positions are among them
  double greatest_gap = 0;     ///< mm, over what is met
  double u_greatest = 0;       ///< rad
  double uncut = 0;            ///< part of the clock that should meet the target and isn't cut, rad
  double file_over =
      0;  ///< how much of the clock the file works over until the greatest gap is shop.gap, rad
  double file_depth = 0;  ///< what it takes off at most there, along the tube; hold the cutter back by it, mm
};

/// The straight piece that vice or tube blocks hold.
struct Held {
  double from = 0, to = 0;          ///< mm from the member's start end
  double jaw_from = 0, jaw_to = 0;  ///< what of it lies in the jaws; equal: nothing straight to hold
  bool long_enough = true;          ///< as long as shop.least_grip
  bool straight = true;             ///< false: no straight piece; the axis is the tangent at the scribe line
  Vec3 point = Vec3::Zero();        ///< on the axis, frame F
  Vec3 axis = Vec3::UnitZ();        ///< toward the end that is cut, unit
};

/// Flanks of the piece in the jaws against its axis, rad; > 0: the tube grows toward the end that is cut. A
/// flank is the line a straight jaw of that length rests on: it touches and the tube does not rock.
struct Flanks {
  double left = 0, right = 0, up = 0, down = 0;
  double wedge_sides = 0;    ///< between the flanks left and right: jaws at the sides want this wedge
  double wedge_up_down = 0;  ///< between the flanks above and below
  double cutter_to_left = 0,
         cutter_to_right = 0;  ///< angle of the cutter's axis to each flank, not to the axis
};

/// A piece that rests on one flank in the jaws lies level with this much under its thinner end.
struct Shim {
  double height = 0;        ///< mm, over the length in the jaws
  bool toward_cut = false;  ///< under the end toward the cut, else under the one away from it
};
/// in   flank  one of Flanks, rad
[[nodiscard]] Shim shim_under(const Held& held, double flank);

struct MachineSetUp {
  bike::Part member;
  bike::End end = bike::End::end;
  bike::Part onto;
  std::string title;       ///< "LEFT blade, upper end, onto the steerer"
  bike::Part pair;         ///< the member on the other side; empty where there is none
  double angle = 0;        ///< between the tube's axis and the cutter's, 0..pi/2
  double from_square = 0;  ///< pi/2 - angle: what a swivel marked 0 at square shows
  double u_up = 0;         ///< clock angle that faces up, rad, 0..2 pi
  Vec3 up = Vec3::UnitZ();
  Vec3 cutter_axis = Vec3::UnitX();  ///< unit, leaning toward the end that is cut
  Held held;
  Flanks flanks;
  double target_diameter = 0;  ///< of what it is mitred onto, mm
  std::vector<CutterFit>
      cutters;           ///< those that serve, least filing first; then the others, nearest size first
  bool by_hand = false;  ///< no cutter serves, or a part of the clock passes beside the target
  std::string why_by_hand;
};

/// "blade, upper end, onto the steerer": the side is said elsewhere.
[[nodiscard]] std::string cut_title(const bike::Part& member, bike::End end, const bike::Part& onto);

/// All mitred ends, in the order of the mitres.
///   in      mitres  of this assembly
///   out     one set-up a mitre; without cutters only `by_hand` and the axes
///   within  gaps: the edge is found within 1e-9 mm at every u of `gaps`; between them the greatest gap may
///   be
///           missed by what it changes over 5 degrees
[[nodiscard]] std::vector<MachineSetUp> set_ups(const bike::Assembly& assembly,
                                                const std::vector<study::Mitre>& mitres, const Shop& shop);

/// What proves a cut member: a length between two places that can be touched.
struct LengthCheck {
  bike::Part member;
  std::string from, to;         ///< "bottom of the lower cut", "upper end"
  double u_from = 0, u_to = 0;  ///< clock angle of each place, rad
  double length = 0;            ///< straight through the air, mm
  bike::Part pair;              ///< the member on the other side
  double differs = 0;           ///< this length less the pair's, mm: 0 for blades of the same length
};

/// One check a member with a mitred end.
[[nodiscard]] std::vector<LengthCheck> length_checks(const bike::Assembly& assembly,
                                                     const std::vector<study::Mitre>& mitres);

}  // namespace halfround::shop
