// Numbers as the backends write them: base/number.h with millimetres to 0.001.
#pragma once

#include <string>

namespace halfround::paper {

/// Exactly three decimals: "12.500"; no negative zero. A number that is not finite is our bug.
[[nodiscard]] std::string fixed3(double value);

/// Three decimals without trailing zeros: "12.5", "3", "-0.04".
[[nodiscard]] std::string short3(double value);

}  // namespace halfround::paper
