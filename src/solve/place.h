// A problem of layout or study, at its place in the job. Frame: none.
#pragma once

#include <string>

#include "base/result.h"
#include "job/job.h"

namespace halfround::solve {

/// At a side's own key, or the one for both.
///   in  key  where the problem names no part
[[nodiscard]] tl::unexpected<base::Problem> placed(const job::Job& job, base::Problem problem,
                                                   const std::string& key);

}  // namespace halfround::solve
