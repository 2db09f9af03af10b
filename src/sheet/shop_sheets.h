// The shop's sheets besides the cards: what to turn and mill, what to cut and buy, the traveller, and the
// measuring plan. Frame P, mm; A4 or letter.
#pragma once

#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "solve/shop_plan.h"

namespace halfround::sheet {

/// One page for each fixture that needs turned pieces; no page where none does. To scale, sectioned.
[[nodiscard]] Sheet adapter_sheet(const solve::ShopPlan& plan, Paper paper, const TitleBlock& title);

/// Machined axle blocks, a page each; no page where the fork has none. To scale; needs no shop's plan.
[[nodiscard]] Sheet block_sheet(const solve::Answer& answer, Paper paper, const TitleBlock& title);

/// Pieces and the lengths that serve them, what is left over, what to buy, filler with its waste.
[[nodiscard]] Sheet cut_list_sheet(const solve::Answer& answer, const solve::ShopPlan& plan, Paper paper,
                                   const TitleBlock& title);

/// The order of work with boxes to tick and blanks for what was measured.
[[nodiscard]] Sheet traveller_sheet(const job::Job& job, const solve::Answer& answer,
                                    const solve::ShopPlan& plan, Paper paper, const TitleBlock& title);

/// What to measure on the surface plate, with the fork drawn as it stands there.
[[nodiscard]] Sheet measuring_sheet(const job::Job& job, const solve::Answer& answer, Paper paper,
                                    const TitleBlock& title);

}  // namespace halfround::sheet
