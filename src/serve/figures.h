// The numbers of a solved fork that a page shows and compares, by stable names.
#pragma once

#include <string>
#include <vector>

#include "solve/solve.h"

namespace halfround::serve {

struct Figure {
  std::string name;   ///< stable: "axle_to_crown_straight"
  std::string words;  ///< "axle-to-crown, straight"
  std::string unit;   ///< "mm", "deg", "kg", "N/mm", ""
  double value = 0;
};

[[nodiscard]] std::vector<Figure> figures_of(const solve::Answer& answer);

}  // namespace halfround::serve
