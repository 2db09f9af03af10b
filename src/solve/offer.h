// What would work instead of what was refused: numbers that have been tried. Frame: none.
#pragma once

#include "job/job.h"

namespace halfround::solve {

/// The problem of a job that can't be laid out, with numbers that were tried: each offer, typed at its key
/// with nothing else changed, gives a job that can. `fits` says them. A number that came with the problem and
/// would not do is moved on to the nearest that does, or left out; where little is left, the wishes are
/// tried.
///   in   problem  of laid_out(job); others come back as they are
[[nodiscard]] base::Problem with_offers(const job::Job& job, base::Problem problem);

/// The problems of a text that makes no job, the first kTriedProblems of them with offers that were tried: an
/// offered number that the fork can't have gives way to the nearest it can.
///   in   text  whose problems  read_job gave
inline constexpr std::size_t kTriedProblems = 8;  ///< a trial takes some ms; nobody presses more buttons
[[nodiscard]] base::Problems with_offers(const std::string& text, base::Problems problems);

}  // namespace halfround::solve
