// The commands for when reality differs from the plan: each returns its exit code (cli/commands.h).
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "cli/book.h"
#include "solve/fit_up.h"

namespace halfround::cli {

/// What `replan` writes, beside what it prints.
struct Take {
  int way = 1;        ///< counted from 1
  std::string write;  ///< path of a new job, or "book:NEW"; empty: nothing is written
};

[[nodiscard]] int replan(const JobName& job, const Take& take, bool json, std::ostream& out,
                         std::ostream& err);
/// The measuring plan's readings, "A=404.6" and so on: how the fork stands and which blade to cold set.
[[nodiscard]] int read_back(const JobName& job, const std::vector<std::string>& readings, bool json,
                            std::ostream& out, std::ostream& err);
/// The bench test of this fork; with what it moved under it, what that says.
///   in  moved, stayed  lengths as typed; "": not read
[[nodiscard]] int proof(const JobName& job, const std::string& moved, const std::string& stayed,
                        std::ostream& out, std::ostream& err);
/// With `readings`, a file; else by `words`. With a folder also the sheet.
[[nodiscard]] int fit_up(const JobName& job, const std::string& readings, const job::FitUpWords& words,
                         bool json, std::ostream& out, std::ostream& err, const std::string& folder = "");

}  // namespace halfround::cli
