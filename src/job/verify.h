// What single values can't show: whether the numbers of a job go together. Frame: none; bench words as in
// job.h.
#pragma once

#include "base/result.h"
#include "job/job.h"

namespace halfround::job {

/// Complains of what can't be so: stations that don't rise, walls that leave no bore, pieces longer than the
/// stock, measured outlines that cross themselves, lengths that contradict each other. Values that couldn't
/// be read (empty `typed`) are left alone.
void verify(const Job& job, base::Problems& problems);

}  // namespace halfround::job
