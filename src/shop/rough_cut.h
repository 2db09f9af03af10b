// The rough cut of an end that is made by hand: one saw plane, or the best two where one leaves much to file.
// Nothing of the finished edge, outside or inside, is ever cut. Frame: x along the mark line, y along b, z
// toward the joint, at the scribe line; clock angles the member's own. Maths: docs/set-ups.md.
#pragma once

#include <array>
#include <vector>

#include "bike/assembly.h"
#include "study/mitre.h"

namespace halfround::shop {

/// A plane cut: the line it draws round the tube.
struct SawPlane {
  double lean = 0;       ///< from square to the tube at the scribe line, rad
  double u_longest = 0;  ///< clock angle where the line stands farthest toward the joint, rad
  double at_axis = 0;    ///< where it crosses the tube's axis, from the scribe line toward the joint, mm
  double across = 0;     ///< of two: its lean seen along the line where they meet, rad; > 0: it rises outward
};

/// How two saw planes leave the end.
enum class RoughShape {
  square_off,  ///< one plane
  notch,       ///< two that meet inside the tube: a V falls out
  roof,        ///< two that each go right through: a ridge stays
};

struct RoughCut {
  RoughShape shape = RoughShape::square_off;
  std::vector<SawPlane> planes;    ///< one or two; the first lies round the clock angle `u_first`
  std::vector<double> depth;       ///< at the 24 clock positions, along the surface from the scribe line, mm
  double most = 0;                 ///< what is left to file at most at those positions, mm
  double most_by_one = 0;          ///< what one plane would leave, mm
  double u_first = 0;              ///< middle of the first plane's side, rad
  std::array<double, 2> u_meet{};  ///< clock angles where the two lines meet on the tube, rad
  std::array<double, 2> depth_meet{};  ///< and how deep, mm
};

struct RoughWishes {
  double leave = 0.5;    ///< what the saw leaves standing over the finished edge at least, mm
  double few = 3;        ///< more than this left to file by one plane asks for two, mm [our own]
  double steepest = 75;  ///< no saw follows a line that leans more from square, degrees [our own]
};

/// The rough cut of one end.
///   in      mitre  of this member
///   out     depth: at each clock position at least `leave` over the finished one. Of one plane and of all
///           pairs searched the one with the least sum of squares left to file over both edges; two only
///           where they leave at least 1 mm less than one at the worst place
///   within  the pair is the best of a search over the direction (15 degrees, then halved down to 0.1) and
///   the
///           place of the line where they meet; for each of those the planes are the exact least squares
[[nodiscard]] RoughCut rough_cut(const bike::Member& member, const study::Mitre& mitre,
                                 const RoughWishes& wishes = {});

}  // namespace halfround::shop
