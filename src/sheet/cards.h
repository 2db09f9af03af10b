// One card a step, for reading at the machine: what to cut, file, set, join and prove, left and right side by
// side. Frame P, mm.
#pragma once

#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "solve/shop_plan.h"

namespace halfround::sheet {

/// The cards of a job in one shop, in the order of work.
///   in   title  numbers and scale are set here
[[nodiscard]] Sheet shop_cards(const job::Job& job, const solve::Answer& answer, const solve::ShopPlan& plan,
                               Paper paper, const TitleBlock& title);

}  // namespace halfround::sheet
