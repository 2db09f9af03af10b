// The answer as JSON (schema: docs/answer.schema.json): lengths mm, angles degrees (keys end in _deg), points
// in fork frame F. And the list of problems as JSON.
#pragma once

#include <string>

#include "base/result.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"

namespace halfround::speak {

/// Pretty-printed, two blanks, one line a point; the same bytes for the same answer.
///   in   plan  what the hand does in one shop; null: without a shop
[[nodiscard]] std::string to_json(const solve::Answer& answer, const solve::ShopPlan* plan = nullptr);
[[nodiscard]] std::string to_json(const base::Problems& problems);

}  // namespace halfround::speak
