// What the hand sets for a solved fork on the machines of a shop, as tables people can read on a terminal.
// Frame: as in shop/set_up.h; lengths mm, angles degrees.
#pragma once

#include <string>

#include "job/solve.h"
#include "shop/shop.h"

namespace halfround::job {

/// Set-ups with the best cutter and its gap, the hand's plan where no cutter serves, the lengths that prove
/// the blades, and each fixture's readings with the adapters to turn.
///   in  job  the one that was solved
[[nodiscard]] std::string shop_text(const Job& job, const Answer& answer, const shop::Shop& shop);

}  // namespace halfround::job
