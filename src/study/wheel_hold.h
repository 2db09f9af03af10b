// Whether the fork's ends hold the wheel against the brake. Frame: none.
#pragma once

#include <vector>

#include "bike/limit.h"

namespace halfround::study {

struct WheelHold {
  bool disc = false;   ///< the brake acts on a rotor
  int open_slots = 0;  ///< fork ends whose slot opens downward
};

inline constexpr const char* kOpenSlotWarning =
    "A disc brake on fork ends whose slots open downward: braking pushes the axle down and out of the slot, "
    "and "
    "the wheel can come out while riding. Don't build this: take fork ends that close round a through-axle "
    "(insert, axle block), or a rim brake.";

/// One verdict, not met, for a disc brake on open slots; nothing else.
/// source  [common practice]: the calliper behind the blade presses the rotor down [derived: the force of the
///         pads on a rotor that turns downward there]
[[nodiscard]] std::vector<bike::Verdict> verdicts(const WheelHold& hold);

}  // namespace halfround::study
