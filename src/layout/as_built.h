// What comes out when a laid-out unicrown is cut, bent and set a little off. Frame F. Nothing is sprung or
// cold set: each side ends where its own cuts and angles put it. docs/tolerance.md
#pragma once

#include "bike/chain.h"
#include "layout/unicrown.h"

namespace halfround::layout {

/// A dimension's usual plus-minus in a small shop.
struct ShopTolerance {
  std::string of;         ///< key of the dimension
  double plus_minus = 0;  ///< mm or rad
  std::string why;        ///< in words, with its tag: "[common practice] stop and square, read to half a mm"
};

/// The chain of a laid-out fork. For each side ("left", "right"), from the steerer down:
///   crown_height.SIDE  the joint lower on the steerer          mm
///   mitre_offset.SIDE  the blade's plane farther ahead         mm
///   middle.SIDE        upper mitre cut short: blade farther out mm
///   tilt.SIDE          blade's plane leans farther forward     rad
///   splay.SIDE         upper mitre's angle: leans farther out  rad
///   clock.SIDE         blade turned about its own top, the mark line forward   rad
///   bend.SIDE, bend2.SIDE ...  each bend too far, from the top down, radius kept, length kept   rad
///   length.SIDE        blade longer between its cuts           mm
///   lower_end.SIDE     lower end (insert, dropout) farther out on the blade  mm
///   rise.SIDE          lower end higher (dropouts; for an insert: its barrel off the blade's middle)   mm
///   lead.SIDE          lower end farther ahead                 mm
///   camber.SIDE        its face leans outward at the bottom    rad
///   toe.SIDE           its face turns outward at the front     rad
/// and for all: race_height (crown race seat higher), steerer_lean (to the left), steerer_pitch (legs
/// forward), over_locknut.
///   in   fork    as lay_out(intent) gave it
///   out  the nominal chain ends at (offset, +-over_locknut / 2, -drop), both faces square to y
[[nodiscard]] bike::Chain as_built(const Unicrown& intent, const Fork& fork);

/// Plus-minus for every dimension of the chain, common practice of a small shop.
[[nodiscard]] std::vector<ShopTolerance> shop_tolerances(const bike::Chain& chain);

}  // namespace halfround::layout
