// What the hand does for a solved fork in one shop: set-ups, files, fixtures, adapters, lengths to cut. Text,
// JSON and cards all read it. Frames: those of shop/.
#pragma once

#include <string>
#include <vector>

#include "shop/by_hand.h"
#include "shop/cut_list.h"
#include "shop/fixture.h"
#include "shop/set_up.h"
#include "shop/shop.h"
#include "solve/solve.h"

namespace halfround::solve {

struct ShopPlan {
  std::string shop;                         ///< its name
  std::vector<shop::MachineSetUp> set_ups;  ///< one a mitred end, in the order of the mitres
  std::vector<shop::HandPlan> by_hand;      ///< of the ends with `by_hand`, in the same order
  std::vector<shop::LengthCheck> lengths;   ///< what proves the cuts
  std::vector<shop::FixtureSheet> fixtures;
  shop::CutList cutting;
  std::vector<shop::Stock> stock;  ///< the rack that `cutting` counts
};

/// in  job  the one that was solved
[[nodiscard]] ShopPlan shop_plan(const job::Job& job, const Answer& answer, const shop::Shop& shop);

/// The plan of the end a set-up belongs to; null where the machine does it all.
[[nodiscard]] const shop::HandPlan* by_hand(const ShopPlan& plan, const shop::MachineSetUp& set_up);

}  // namespace halfround::solve
