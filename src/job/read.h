// A job file's text becomes a Job, or every complaint about it at once. Frame: none. Keys: docs/job-file.md.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "job/job.h"

namespace halfround::job {

/// Reads a job.
///   in     text  any bytes
///          file  the name to say in complaints
///   out    a job whose every number is finite and within the range of its row, whose stations rise, whose
///   walls leave
///          a bore, whose wishes are two; whether such a fork can be had is for the layout to say
///   fails  all problems of the file together, in the order they stand there (docs/problems.md); a file that
///   can't be
///          parsed has only the first
[[nodiscard]] base::Result<Job, base::Problems> read_job(std::string_view text, const std::string& file);

}  // namespace halfround::job
