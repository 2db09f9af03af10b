// How the finished fork stands, in words and as JSON.
#pragma once

#include <string>

#include "solve/read_back.h"

namespace halfround::speak {

[[nodiscard]] std::string read_back_text(const solve::ReadBack& found);
/// docs/stands.schema.json
[[nodiscard]] std::string read_back_json(const solve::ReadBack& found);

}  // namespace halfround::speak
