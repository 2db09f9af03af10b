// What colour a part has in files for viewing: by what it is, so that neighbours can be told apart.
#pragma once

#include <string>

namespace halfround::solid {

struct Colour {
  double red, green, blue;  ///< sRGB, 0..1
};

/// in  name  "blade.left", "insert.right", "crown.upper"
[[nodiscard]] inline Colour colour_of(const std::string& name) {
  const std::string kind = name.substr(0, name.find('.'));
  if (kind == "steerer") return {0.62, 0.64, 0.66};
  if (kind == "blade") return {0.33, 0.44, 0.42};
  if (kind == "insert" || kind == "dropout" || kind == "block" || kind == "axle") return {0.72, 0.60, 0.38};
  return {0.58, 0.46, 0.40};
}

}  // namespace halfround::solid
