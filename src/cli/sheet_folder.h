// The folder of `halfround make`: the set of one run, whole or said to be incomplete, and nobody else's file
// touched. sheets.txt lists the set with the SHA-256 of each file, as `sha256sum -c sheets.txt` reads it.
// INCOMPLETE.txt stands there while files are exchanged, and stays where the program was stopped meanwhile.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "base/result.h"

namespace halfround::cli {

struct SheetsWritten {
  std::vector<std::string> left;  ///< no longer made, but changed since they were: left where they are
  bool was_incomplete = false;    ///< the run before was stopped half way
};

/// Writes the files (name, bytes) into `folder`, made if missing; a name may lead into one folder below it
/// ("cut/x.dxf"). All are written beside it first and only then renamed into place. Files of an earlier run
/// that are no longer made are removed if they are still as it made them. No link below the folder is
/// followed.
///   fails  folder-unwritable (also: another halfround writes there), folder-foreign (sheets.txt isn't our
///   list, or a link stands where a folder should), file-exists (a file that isn't ours, or was changed
///   since, is in the way); but for an error between two renames, after which INCOMPLETE.txt stands there,
///   nothing was changed
[[nodiscard]] base::Result<SheetsWritten> write_sheets(
    const std::string& folder, const std::vector<std::pair<std::string, std::string>>& files);

}  // namespace halfround::cli
