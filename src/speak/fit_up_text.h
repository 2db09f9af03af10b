// What a tried fit says, in words and as JSON.
#pragma once

#include <string>

#include "solve/fit_up.h"

namespace halfround::speak {

[[nodiscard]] std::string fit_up_text(const solve::FitUpAnswer& answer);
[[nodiscard]] std::string fit_up_json(const solve::FitUpAnswer& answer);  ///< docs/fitup.schema.json

}  // namespace halfround::speak
