// One number of a job that has been read, by its key: what a trial changes. Frame: none.
#pragma once

#include <optional>
#include <string>

#include "job/job.h"

namespace halfround::job {

/// Where a measure is given: a side's own key, else the one for both. "wishes.right.splay" is "wishes.splay"
/// in a job that wishes for both sides at once.
[[nodiscard]] std::string said_key(const Job& job, const std::string& key);

/// The number at a key, mm or rad; nothing for a key whose number can't be tried (texts, rows of lists).
/// A stock length that is left out is the length of the shape.
[[nodiscard]] std::optional<double> number_at(const Job& job, const std::string& key);
/// The same key changed in the job, on every side that takes it from there. False: as number_at().
[[nodiscard]] bool set_number(Job& job, const std::string& key, double value);

}  // namespace halfround::job
