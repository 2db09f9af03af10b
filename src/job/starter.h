// The job that `halfround new` writes: every section with a word on what to measure. It reads without a
// problem.
#pragma once

#include <string>

namespace halfround::job {

/// The text of a starter job, made from the schema: required keys with a value, the others as comments.
[[nodiscard]] std::string starter_job();

}  // namespace halfround::job
