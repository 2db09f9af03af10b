// One cutter against one mitre: where it stands best and what gap it leaves. Looks along the target's axis:
// in that plane target and cutter are circles. Derivation: docs/set-ups.md. Frame J of the joint:
//
//        y ^      ____           x points from the target back toward the tube that is cut; y is square to
//          |    /      .<- cut   it, toward the machine's `up`; the origin lies on the target's axis.
//   -------+---( o      )----> x  tube comes from here
//          |    \ ____ /
#pragma once

#include <vector>

#include "shop/set_up.h"

namespace halfround::shop {

/// A point of the wanted cut, seen along the target's axis.
struct SeenPoint {
  double u = 0, s = 0;
  Vec3 p = Vec3::Zero();
  Vec2 q = Vec2::Zero();  ///< (x, y) of p in J, mm
  double share = 0;       ///< of the clock, rad
  bool met = true;
};

/// One mitre, seen along the target's axis. Member and target must outlive it.
struct JointView {
  const bike::Member* member = nullptr;
  const bike::Member* target = nullptr;
  bike::End end = bike::End::end;
  Vec3 origin = Vec3::Zero(), a = Vec3::UnitZ(), x = Vec3::UnitX(), y = Vec3::UnitY();
  std::vector<SeenPoint> some;     ///< of the outer edge: every few degrees and the 24 clock positions
  std::vector<Vec2> all;           ///< every point, both walls, that meets the target
  std::vector<Vec2> few;           ///< some of these
  double lean = 1;                 ///< what 1 mm along the tube is along x
  double target_radius = 0;        ///< mm
  double length_along_cutter = 0;  ///< of the whole cut, mm
};

/// in   a   unit, along the target's axis
///      up  which way y is to point
[[nodiscard]] JointView view_of(const study::Mitre& mitre, const bike::Member& member,
                                const bike::Member& target, const Vec3& a, const Vec3& up);

/// The best place of a cutter and its gap map; offset and stops are left for the set-up.
///   in   gap  the greatest gap a joint may keep, mm
[[nodiscard]] CutterFit fit(const JointView& view, const Cutter& cutter, double gap);

}  // namespace halfround::shop
