// What would work instead of what was refused: numbers that have been tried. Frame: none.
#pragma once

#include "job/job.h"

namespace halfround::job {

/// The problem of a job that can't be laid out, with numbers that were tried: each offer, typed at its key
/// with nothing else changed, gives a job that can. `fits` says them. A number that came with the problem and
/// would not do is moved on to the nearest that does, or left out; where little is left, the wishes are
/// tried.
///   in   problem  of laid_out(job); others come back as they are
[[nodiscard]] base::Problem with_offers(const Job& job, base::Problem problem);

}  // namespace halfround::job
