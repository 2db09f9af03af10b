// What the terminal says when something can't be done. Frame: none.
#pragma once

#include <ostream>

#include "base/result.h"

namespace halfround::cli {

/// Every problem as a sentence of its own line on `err`; gives back the exit code it was handed.
inline int complain(int code, const base::Problems& problems, std::ostream& err) {
  for (const base::Problem& p : problems) err << base::sentence(p) << "\n";
  return code;
}

}  // namespace halfround::cli
