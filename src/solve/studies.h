// What is asked of a laid out fork, one row a question: a new study is a row here, a member of Answer, and a
// row each where it is told (speak/told.h), written as a table (exchange/csv_answer.cpp) and drawn. Frame F.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "solve/solve.h"

namespace halfround::solve {

/// In the order in which they are asked: a later one may read what an earlier one answered.
enum class Study {
  mount,
  joining,
  small_parts,
  mass,
  steering,
  wheel,
  clearance,
  strength,
  tolerance,
  edges,
  stands
};

struct Asked {
  const job::Job& job;
  const SolveOptions& options;
};

struct StudyRow {
  Study value;
  std::string_view key, words;
  /// Puts its part of the answer into it.
  ///   fails  with the job's key; one that merely has no answer says why in its part
  base::Result<void> (*answer)(const Asked&, Answer&);
  std::vector<bike::Verdict> (*verdicts)(const Asked&, const Answer&);  ///< those of its part, may be none
};

[[nodiscard]] std::span<const StudyRow> studies();

/// Every study's, twins of two sides as one line, what is not met first and the worst of it on top.
[[nodiscard]] std::vector<bike::Verdict> verdicts_of(const Asked& asked, const Answer& answer);

}  // namespace halfround::solve
