// Every table of the tool for a spreadsheet or another program. Frames and signs: docs/frames.md; clock
// angles the member's own.
#pragma once

#include <vector>

#include "job/shop_plan.h"
#include "job/solve.h"
#include "sheet/csv.h"

namespace halfround::sheet {

/// Depths by clock, joining plan, clearances, strength, tolerance, masses, handling, limits, small parts.
///   out  tables without a row are left out
[[nodiscard]] std::vector<CsvTable> answer_tables(const job::Answer& answer);

/// Set-ups and gaps of the cutters, hand plans, fixture readings, cut list, what to buy, lengths that prove
/// the cuts.
[[nodiscard]] std::vector<CsvTable> shop_tables(const job::ShopPlan& plan);

}  // namespace halfround::sheet
