// The answer as JSON (schema: docs/answer.schema.json): lengths mm, angles degrees (keys end in _deg), points
// in fork frame F. And the list of problems as JSON.
#pragma once

#include <string>

#include "base/result.h"
#include "job/shop_plan.h"
#include "job/solve.h"

namespace halfround::job {

/// Pretty-printed, two blanks, one line a point; the same bytes for the same answer.
///   in   plan  what the hand does in one shop; null: without a shop
[[nodiscard]] std::string to_json(const Answer& answer, const ShopPlan* plan = nullptr);
[[nodiscard]] std::string to_json(const base::Problems& problems);

}  // namespace halfround::job
