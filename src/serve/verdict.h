// Verdicts as the page's slip wants them: how much is left, where it is, which key would mend it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "serve/engine.h"
#include "solve/solve.h"

namespace halfround::serve {

struct SlipLine {
  const bike::Verdict* verdict = nullptr;  ///< of the answer
  std::optional<double> margin;            ///< what is left, in the verdict's unit; < 0: missing
  std::string key;   ///< of the job, whose value decides; "" where there is no single one
  std::string fits;  ///< what to type there so that the limit is met, or ""
};

/// In the answer's order.
///   in   worked  with an answer, which the lines point into
[[nodiscard]] std::vector<SlipLine> slip_of(const Worked& worked);

}  // namespace halfround::serve
