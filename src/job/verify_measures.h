// Measures that look like another measure. Part of verify(). Frame: none.
#pragma once

#include "base/result.h"
#include "job/job.h"

namespace halfround::job {

/// Complains of a row whose width and depth are exchanged, whole tyre widths given as halves, a bead seat
/// that is not the measured tyre's, an axle thicker than its bore.
void verify_measures(const Job& job, base::Problems& problems);

}  // namespace halfround::job
