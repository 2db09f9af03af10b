// Parts of the answer that the hand uses, as JSON values; only this room sees this header. Lengths mm, angles
// degrees (keys end in _deg). Schema: docs/answer.schema.json.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "solve/shop_plan.h"
#include "study/small_parts.h"

namespace halfround::speak {

using Json = nlohmann::ordered_json;

[[nodiscard]] Json shop_json(const solve::ShopPlan& plan);
[[nodiscard]] Json mount_json(const study::Mount& mount);
[[nodiscard]] Json features_json(const std::vector<study::Feature>& features);

}  // namespace halfround::speak
