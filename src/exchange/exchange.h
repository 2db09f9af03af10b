// What other programs and machines take: cut drawings, rotary paths and tables of a solved fork as files.
#pragma once

#include <vector>

#include "job/job.h"
#include "sheet/book.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"

namespace halfround::exchange {

/// "cut/": every cut drawing as DXF and SVG, every mitre as a rotary path in CSV and ISO 6983 code.
/// "tables/": every table as CSV.
///   in   plan, shop  null plan: no shop is known
///   out  the same bytes for the same job; a path that can't be run (why_not) has a table but no code
[[nodiscard]] std::vector<sheet::File> exchange_files(const job::Job& job, const solve::Answer& answer,
                                                      const solve::ShopPlan* plan = nullptr,
                                                      const shop::Shop& shop = {});

}  // namespace halfround::exchange
