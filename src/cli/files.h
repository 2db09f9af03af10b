// Reading the job and writing results so that nothing is ever left half-written.
#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "base/result.h"

namespace halfround::cli {

/// The bytes of a file, or of standard input for "-".
///   in     most  bytes; more is not read
///   fails  file-unreadable, file-too-big
[[nodiscard]] base::Result<std::string> read_file(const std::string& path, std::uintmax_t most = 8 << 20);

/// Writes the files (name, bytes) into `folder`, made if missing; a name may lead into one folder below it
/// ("cut/x.dxf"). All are written beside it first and only then renamed into place, so that a failure leaves
/// the folder as it was. Sheets of an earlier run that are no longer made are removed; they are known from
/// the list kept in the folder.
///   fails  folder-unwritable
[[nodiscard]] base::Result<void> write_all(const std::string& folder,
                                           const std::vector<std::pair<std::string, std::string>>& files);

/// Writes one file, replaced as a whole.
///   fails  folder-unwritable
[[nodiscard]] base::Result<void> write_text(const std::string& path, const std::string& bytes);

}  // namespace halfround::cli
