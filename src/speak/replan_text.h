// The mended plan, in words and as JSON.
#pragma once

#include <string>

#include "replan/replan.h"

namespace halfround::speak {

[[nodiscard]] std::string replan_text(const replan::Replan& plan);
[[nodiscard]] std::string replan_json(const replan::Replan& plan);  ///< docs/replan.schema.json

}  // namespace halfround::speak
