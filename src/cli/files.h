// Reading what the command is given and writing single files, so that nothing is ever left half-written.
#pragma once

#include <cstdint>
#include <string>

#include "base/result.h"

namespace halfround::cli {

/// The bytes of a file, or of standard input for "-". The one way the command reads: what is no plain file (a
/// folder, a device, a pipe) is refused at once, and more than `most` is never read, whatever the file says
/// of its size.
///   in     most  bytes
///   fails  file-unreadable, file-too-big
[[nodiscard]] base::Result<std::string> read_file(const std::string& path, std::uintmax_t most = 8 << 20);

/// What becomes of a file that is there already.
enum class There { replaced, left_alone };

/// Writes one file as a whole: under a name nobody has, then renamed.
///   fails  folder-unwritable; file-exists where it is to be left alone
[[nodiscard]] base::Result<void> write_text(const std::string& path, const std::string& bytes,
                                            There there = There::replaced);

/// "is there already and was left alone."
[[nodiscard]] base::Problem there_already(const std::string& path);
/// Something could not be written, and why.
[[nodiscard]] base::Problem unwritable(const std::string& path, const std::string& why);

}  // namespace halfround::cli
