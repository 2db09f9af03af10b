// One card a step, for reading at the machine: what to cut, file, set, join and prove, left and right side by
// side. Frame P, mm.
#pragma once

#include "job/shop_plan.h"
#include "sheet/display.h"
#include "sheet/page_furniture.h"
#include "sheet/tile.h"

namespace halfround::sheet {

/// The cards of a job in one shop, in the order of work.
///   in   title  numbers and scale are set here
[[nodiscard]] Sheet shop_cards(const job::Job& job, const job::Answer& answer, const job::ShopPlan& plan,
                               Paper paper, const TitleBlock& title);

}  // namespace halfround::sheet
