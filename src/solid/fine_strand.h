// A strand where two surfaces meet, made as fine as it must be. Private to this room. Frame: the assembly's.
#pragma once

#include "solid/edges.h"

namespace halfround::solid {

/// The skin of a tube that is cut, and what cuts it: another skin, or a plane where that is null.
struct Meeting {
  const Skin& skin;
  const Skin* onto = nullptr;
  Vec3 plane_point = Vec3::Zero(), plane_normal = Vec3::UnitZ();
};

/// Puts points of the true line wherever the cubics in space, or those in a skin's own parameters, leave it:
/// where a skin's curves are pieced together, and where the line turns sharply.
///   within  kFitTol / 5, but no point is nearer than 0.002 mm to its neighbours
[[nodiscard]] Strand fine_strand(const Meeting& meeting, const Strand& strand);

}  // namespace halfround::solid
