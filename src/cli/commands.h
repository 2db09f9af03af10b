// What the command does, apart from reading its words: each returns its exit code.
#pragma once

#include <iosfwd>
#include <string>

#include "cli/book.h"

namespace halfround::cli {

/// The exit codes, in one place (docs/command.md).
enum Exit : int {
  kDone = 0,
  kBug = 1,          ///< ours: please report it
  kUsage = 2,        ///< the command's words are off
  kJobMistakes = 3,  ///< the job file has mistakes; they are listed
  kNoSuchFork = 4,   ///< the job is sound but no such fork can be had
  kFiles = 5,        ///< something could not be read or written
  kLimitMissed = 6,  ///< `check`: such a fork can be had, but may break or touch; strict: a limit is not met
  kNotKnown = 7,     ///< `check`: none of those is missed, but whether one is met is not known
};

/// With a shop also the cards for its machines and what else is made from them; solids unless left out. A job
/// of the book has the book's shop unless a file is named.
[[nodiscard]] int make(const JobName& job, const std::string& folder, std::ostream& out, std::ostream& err,
                       const std::string& shop = "", bool with_solids = true);
/// With a shop: its machines' set-ups and its fixtures' readings as well (tables only).
[[nodiscard]] int solve(const JobName& job, const std::string& shop, bool json, std::ostream& out,
                        std::ostream& err);
///   in  strict  every limit counts, not only those of "can't be built" and "may break or touch"
[[nodiscard]] int check(const JobName& job, bool json, std::ostream& out, std::ostream& err,
                        bool strict = false);
/// Writes a commented starter job to `path`, or to standard output for "-"; never over an existing file.
[[nodiscard]] int start(const std::string& path, std::ostream& out, std::ostream& err);

}  // namespace halfround::cli
