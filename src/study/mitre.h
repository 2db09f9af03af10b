// The mitre study: for every mitred end of an assembly the cut of both walls, the depths from a scribe line,
// the bevel and the flat template. Frames: curves in the assembly's frame; depths along the member; templates
// in frame P. Clock angles are the member's own: from the mark line toward b, seen from its start end,
// whichever end is cut.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "shape/cut.h"
#include "shape/tape.h"
#include "shape/unroll.h"

namespace halfround::study {

using base::Vec2;
using base::Vec3;

/// A point of the cut edge, inner or outer.
struct EdgePoint {
  double u = 0;  ///< clock angle, rad, 0..2 pi
  Vec3 point = Vec3::Zero();
  double s = 0;      ///< along the member's centreline from its start end, mm
  double depth = 0;  ///< from the scribe line toward the joint, along the surface, mm
  bool met = true;   ///< false: passes beside the target and stops at the plane through its axis
};

/// One line of the depth table.
struct ClockDepth {
  double u = 0;      ///< rad
  double outer = 0;  ///< mm from the scribe line
  double inner = 0;  ///< mm from the scribe line's plane; NaN where the wall is unknown
  double bevel = 0;  ///< how far the cut face leans from square to the wall, rad; > 0: the outer edge reaches
                     ///< farther. The straight line from edge to edge, as a file or a square sees it:
                     ///< tan = (outer - inner) / wall. Where no wall is known: of the face at its outer edge
  bool met = true;
};

/// A stretch of clock angles whose generators pass beside the target.
struct Passing {
  double from = 0, to = 0;  ///< rad, to > from (to may exceed 2 pi)
};

struct Mitre {
  bike::Part member;
  bike::End end = bike::End::end;
  bike::Part onto;
  std::vector<EdgePoint> outer,
      inner;                      ///< closed curves, rising clock angle; inner empty where no wall is known
  std::vector<ClockDepth> clock;  ///< 24 positions, every 15 deg
  double s_scribe = 0;            ///< where the scribe line runs, mm from the member's start end
  shape::Tape scribe_from_end;    ///< from the stock's end that is to be cut, back to the scribe line
  shape::Tape
      scribe_from_other;      ///< from the stock's other end up to it: of a blade's upper cut, from the tip
  shape::Unrolled template_;  ///< u in the member's clock angle, -pi..pi; x to the right seen from outside
                              ///< with the cut up
  double paper_turn = 1;      ///< +1: clock angle grows to the right on the paper, -1: to the left
  double joint_length = 0;    ///< length of the outer edge where it meets the target, mm
  double passed_by = 0;       ///< rad
  std::vector<Passing> passing;
  double lowest = 0, highest = 0;      ///< least and greatest outer depth, mm
  double u_lowest = 0, u_highest = 0;  ///< rad
  double s_least = 0, s_most = 0;      ///< reach of the cut along the centreline, from the start end, mm
  double short_by = 0;                 ///< mm of stock missing for this end, 0: long enough
  Vec3 stop_point = Vec3::Zero(), stop_normal = Vec3::UnitZ();  ///< the plane where passing edges stop; its
                                                                ///< normal points on toward the joint
  bike::Part meets;  ///< other member mitred at the same place that the passing edge comes up against
};

struct MitreOptions {
  double scribe_gap = 10;  ///< from the lowest point of the cut to the scribe line, at least, mm
  double paper = 0.1;      ///< paper thickness, mm
};

/// One end. The joint must be of kind mitred.
///   fails  those of shape::cut, with the member named
[[nodiscard]] base::Result<Mitre> mitre(const bike::Assembly& assembly, const bike::Joint& joint,
                                        const MitreOptions& options);

/// All mitred ends, in the order of the assembly's joints; also says which edges meet each other.
[[nodiscard]] base::Result<std::vector<Mitre>> mitres(const bike::Assembly& assembly,
                                                      const MitreOptions& options);

}  // namespace halfround::study
