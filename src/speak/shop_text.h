// What the hand sets for a solved fork on the machines of a shop, as tables people can read on a terminal.
// Frame: as in shop/set_up.h; lengths mm, angles degrees.
#pragma once

#include <string>

#include "solve/shop_plan.h"

namespace halfround::speak {

/// Set-ups with the best cutters and their gaps, the hand's plan where no cutter serves, the lengths that
/// prove the blades, each fixture's readings with the adapters to turn, and which length on the rack serves
/// what.
[[nodiscard]] std::string shop_text(const solve::ShopPlan& plan, const shop::Shop& shop);

}  // namespace halfround::speak
