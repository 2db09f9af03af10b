// Every complaint that a test draws out is held against its row of docs/problems.md when the whole program
// has run: at least one sentence made of each code has the row's shape. Frame: none.
#pragma once

#include "base/result.h"

namespace halfround::solve {

/// Remembers the problem's sentence; gives the problem back.
const base::Problem& told(const base::Problem& problem);

}  // namespace halfround::solve
