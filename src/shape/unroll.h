// The flat paper of a mitre: the strip of a tube between a scribe ring and the cut, developed as a fan.
// Frame P (paper): origin where the mark line crosses the scribe ring, +y along the mark line toward the cut,
// +x along the ring toward growing clock angle as seen from *outside* the tube (paper lies face up, as
// wrapped). A round or oval cone is developed exactly; a bent tube can't be: each generator keeps its length
// and its place on the ring, and `error` says by how much the cut's own length is off. docs/mitre.md.
#pragma once

#include <span>

#include "shape/cut.h"

namespace halfround::shape {

struct UnrollOptions {
  double s_scribe = 0;  ///< centreline arc length of the scribe ring, mm; must lie before every cut point
  double paper = 0.1;   ///< paper thickness, mm: the paper's middle lies half of it outside the tube
  /// Generators' lengths from the ring to each cut point, where they are known already; empty: worked out
  std::span<const double> lengths = {};
};

struct Unrolled {
  std::vector<double> u;   ///< clock angles from -pi to pi (both ends are the same generator), rad
  std::vector<Vec2> ring;  ///< scribe ring, frame P
  std::vector<Vec2> edge;  ///< cut, frame P
  std::vector<bool> met;   ///< as in CutPoint
  double error =
      0;  ///< greatest difference between the cut's length on paper and on the tube, from the mark line, mm
};

/// in  cut  of `member` (outer surface)
[[nodiscard]] Unrolled unroll(const Tube& member, const Cut& cut, const UnrollOptions& options);

}  // namespace halfround::shape
