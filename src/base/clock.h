// Clock angles as people read them. Frame: none.
#pragma once

#include <string>

namespace halfround::base {

/// "0°" to "359°": what rounds to a whole turn is 0, and there is no minus.
///   in     rad       any finite angle (else a Bug)
///          decimals  as in base/number.h
[[nodiscard]] std::string format_clock(double rad, int decimals = 0);

}  // namespace halfround::base
