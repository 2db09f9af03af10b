// Every table of the tool for a spreadsheet or another program. Frames and signs: docs/frames.md; clock
// angles the member's own.
#pragma once

#include <vector>

#include "exchange/csv.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"

namespace halfround::exchange {

/// Depths by clock, joining plan, clearances, strength, tolerance, masses, handling, limits, small parts.
///   out  tables without a row are left out
[[nodiscard]] std::vector<CsvTable> answer_tables(const solve::Answer& answer);

/// Set-ups and gaps of the cutters, hand plans, fixture readings, cut list, what to buy, lengths that prove
/// the cuts.
[[nodiscard]] std::vector<CsvTable> shop_tables(const solve::ShopPlan& plan);

}  // namespace halfround::exchange
