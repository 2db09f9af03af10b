// Reading what the builder reports back: [done] and [freedoms] of a job. Frame: none. Keys: docs/job-file.md.
// Only this room sees this header.
#pragma once

#include "job/table_reader.h"

namespace halfround::job {

/// Fills job.done and job.freedoms; without either section both stay empty and nothing is assumed.
void read_done(TableReader& reader, const Spot& root, Job& job);

/// Facts that can't both be true, in a job whose keys could be read.
void verify_done(const Job& job, base::Problems& problems);

}  // namespace halfround::job
