// Where the generators of one tube first meet another: the curve of a mitre. Frame: both tubes in one frame.
// The maths is explained in docs/mitre.md.
#pragma once

#include <vector>

#include "base/result.h"
#include "shape/tube.h"

namespace halfround::shape {

/// Greatest distance of the polyline through the points from the true curve, mm, turning points included.
inline constexpr double kChordTol = 1e-3;
/// A root is found when the last Newton step is below this, mm. Newton squares the error, so points are good
/// to 1e-12.
inline constexpr double kCutTol = 1e-9;

struct CutPoint {
  double u = 0;            ///< clock angle, rad, 0 <= u < 2 pi (equal neighbours stand at a jump)
  Vec2 e = Vec2::UnitX();  ///< (cos u, sin u)
  double s = 0;            ///< arc length of the member's centreline, mm
  Vec3 p = Vec3::Zero();
  bool met = true;  ///< false: the generator passes beside and stops at the plane through the target's axis
};

struct Cut {
  std::vector<CutPoint> points;  ///< closed curve, rising u
  double passed_by = 0;          ///< angle over which generators pass beside the target, rad
  /// plane where those stop: through a point of the target's axis, normal facing along the member
  Vec3 plane_point = Vec3::Zero(), plane_normal = Vec3::UnitZ();
};

/// in   s_body   where on the member to start, outside the target (its sign of travel is toward +s)
///      s_limit  give up beyond this, mm
///      facing   normal of the plane where passing generators stop (its part along the target's axis is
///      dropped);
///               zero: the member's own direction. Members that meet in the middle share one plane this way.
struct CutSearch {
  double s_body = 0;
  double s_limit = 0;
  Vec3 facing = Vec3::Zero();
};

/// Follows every generator of `member` from s_body toward +s to where it first meets the surface of `target`.
///   out    see Cut; met points lie on both surfaces within kCutTol
///   fails  mitre-no-contact: no generator meets the target; says the nearest gap, mm
///          mitre-starts-inside: the member already stands in the target at s_body
///   source two round tubes: closed form [derived] docs/mitre.md; otherwise root finding
[[nodiscard]] base::Result<Cut> cut(const Tube& member, const Tube& target, const CutSearch& search);

}  // namespace halfround::shape
