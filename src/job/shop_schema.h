// The one table of the shop file: every key with its unit, range, default and meaning. Frame: none.
#pragma once

#include <span>

#include "job/schema.h"

namespace halfround::job {

[[nodiscard]] std::span<const Row> shop_schema();

}  // namespace halfround::job
