// Where two skins touch and the line of a mitre crosses itself: as with tubes of one diameter, whose line is
// two ellipses. Private to this room. Frame: the assembly's.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "shape/tube.h"
#include "study/mitre.h"

namespace halfround::solid {

using base::Vec2;
using base::Vec3;

struct Crossing {
  double u = 0, s = 0;  ///< on the tube that is cut: rad, mm
  Vec3 point = Vec3::Zero();
  std::array<Vec3, 2> along{};  ///< unit; the two branches run along one of these or against it

  /// The branch that leaves toward a point.
  [[nodiscard]] Vec3 toward(const Vec3& p) const;
};

/// Saddles of the target's level on the tube, no farther than half of kFitTol from the target.
///   in      edge  a wall's edge of the mitre: the search starts where the skins nearly touch
///   source  [derived] docs/solids.md
[[nodiscard]] std::vector<Crossing> crossings(const shape::Tube& tube, const shape::Tube& target,
                                              const std::vector<study::EdgePoint>& edge);

}  // namespace halfround::solid
