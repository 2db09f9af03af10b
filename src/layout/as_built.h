// What comes out when a laid-out fork is cut, bent and set a little off. Frame F. Nothing is sprung or
// cold set: each side ends where its own cuts and angles put it. docs/tolerance.md
#pragma once

#include "bike/chain.h"
#include "layout/lay_out.h"

namespace halfround::layout {

/// A dimension's usual plus-minus in a small shop.
struct ShopTolerance {
  std::string of;         ///< key of the dimension
  double plus_minus = 0;  ///< mm or rad
  std::string why;        ///< in words, with its tag: "[common practice] stop and square, read to half a mm"
};

/// The chain of a laid-out fork. For each side ("left", "right"), from the steerer down:
///   crown_height.SIDE    joint lower on the steerer, mm
///   mitre_offset.SIDE    blade's plane farther ahead, mm
///   crown_angle.SIDE     segmented: crown tube falls less, its outer end higher, rad
///   middle.SIDE          upper mitre cut short, or crown tube longer: blade farther out, mm
///   tilt.SIDE            blade's plane leans farther forward, rad
///   splay.SIDE           blade leans farther out, rad
///   clock.SIDE           blade turned about its own top, mark line forward, rad
///   bend1.SIDE, bend2... each bend too far, from the top down; radius and length along the tube kept, rad
///   length.SIDE          longer between its cuts, mm
///   blade_from_hub.SIDE  lower end reaches farther in from the blade, mm
///   rise.SIDE            axle farther below the blade's end, mm (an insert: barrel off the blade's middle)
///   lead.SIDE            axle farther ahead of the blade's end, mm
///   camber.SIDE          face stands farther out at the bottom, rad
///   toe.SIDE             face stands farther out at the front, rad
/// and for all: race_height (seat cut higher, mm), steerer_lean (legs to the left of the steerer, rad),
/// steerer_pitch (legs ahead of it, rad), over_locknut (hub wider, mm).
/// A traced blade has no bends of its own: its shape was measured.
///   in   fork    as lay_out(intent) gave it
///   out  with nothing off it ends at (offset, +-over_locknut / 2, -drop), both faces square to y
[[nodiscard]] bike::Chain as_built(const Intent& intent, const Fork& fork);

/// Plus-minus for every dimension of the chain, common practice of a small shop.
[[nodiscard]] std::vector<ShopTolerance> shop_tolerances(const bike::Chain& chain);

}  // namespace halfround::layout
