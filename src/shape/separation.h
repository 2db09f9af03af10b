// How far a tube or a plate stays from a body, with a bound that is proved. Frame: all in one. The proof: a
// body (or the hull of a measured one) lies behind a plane square to the distance's gradient, and a piece of
// tube before a plane is bounded by the support of its oval sections, to second order in the piece's length.
// Pieces are halved until the lowest bound stands within a stated gap of a distance that was met (branch and
// bound). docs/clearance.md
#pragma once

#include <vector>

#include "shape/body.h"
#include "shape/distance.h"

namespace halfround::shape {

struct Separation {
  Gap gap;              ///< the nearest place, refined
  double at_least = 0;  ///< no place is nearer: proved, but for rounding of 1e-11 mm, which is taken off
  int pieces = 0;       ///< how many were looked at
};

/// Where the proof may stop.
struct ProofOptions {
  double gap = 0.01;           ///< mm under the value; 5 % of what lies above 20 or below 0 more
  Vec3 travel = Vec3::Zero();  ///< at_least holds for the body shifted anywhere between -travel and +travel
  double enough = INFINITY;  ///< once it is proved to be more than this, only the bound matters: no refining
  int most_pieces = 400;     ///< at_least is honest, but may lie farther under the value, when it runs out
};

/// The tube's outer surface between two arc lengths, its ends closed.
///   in      s0 < s1  mm; body  after prepare_support()
///   within  value 1e-9 mm
[[nodiscard]] Separation separation(const Tube& tube, double s0, double s1, const Body& body,
                                    const ProofOptions& options = {});

/// A flat part of even thickness.
///   in      outline  closed, in its middle plane, perhaps with dents;  normal  unit
///   within  value 1e-9 mm up to 20 mm, then gap's 5 %
[[nodiscard]] Separation separation(const std::vector<Vec3>& outline, const Vec3& normal, double thickness,
                                    const Body& body, const ProofOptions& options = {});

}  // namespace halfround::shape
