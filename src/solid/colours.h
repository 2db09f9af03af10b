// What colour a part has in files for viewing: by what it is, so that neighbours can be told apart.
#pragma once

#include "bike/part.h"

namespace halfround::solid {

struct Colour {
  double red, green, blue;  ///< sRGB, 0..1
};

[[nodiscard]] inline Colour colour_of(bike::PartKind kind) {
  using bike::PartKind;
  if (kind == PartKind::steerer) return {0.62, 0.64, 0.66};
  if (kind == PartKind::blade) return {0.33, 0.44, 0.42};
  if (kind == PartKind::insert || kind == PartKind::dropout || kind == PartKind::block)
    return {0.72, 0.60, 0.38};
  return {0.58, 0.46, 0.40};
}

}  // namespace halfround::solid
