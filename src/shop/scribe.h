// Where a scribe line is struck, as a rule and a tape read it. Frame: none.
#pragma once

#include <string>
#include <vector>

#include "study/mitre.h"

namespace halfround::shop {

/// One reading to strike or check the line by.
struct ScribeReading {
  std::string from;     ///< "from the upper end of the stock"
  std::string on;       ///< "on the middle line", "on the outside of the bend (clock 0°)"
  double distance = 0;  ///< mm
};

/// From the end that is cut, then from the other one; where a bend lies between, on its outside and inside
/// too, since a tape lies on the skin.
[[nodiscard]] std::vector<ScribeReading> scribe_readings(const study::Mitre& mitre);

/// "96.0 mm from the upper end and 375.7 mm from the lower end of the stock, on the middle line"
[[nodiscard]] std::string scribe_place(const study::Mitre& mitre);

/// "From the upper end 110.2 mm on the outside of the bend (clock 0°) and 82.1 mm on its inside." Empty where
/// no bend lies between either end and the line.
[[nodiscard]] std::string scribe_on_skin(const study::Mitre& mitre);

}  // namespace halfround::shop
