// An open file or folder by its number, closed at the end; and what is done with names below an open folder,
// so that no link leads elsewhere. Errors are errno's; 0: done.
#pragma once

#include <cstdint>
#include <string>

#include "base/result.h"

namespace halfround::cli {

class OpenFile {
 public:
  OpenFile() = default;
  explicit OpenFile(int number) : number_(number) {}
  ~OpenFile();
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  OpenFile(OpenFile&& other) noexcept;
  OpenFile& operator=(OpenFile&& other) noexcept;
  [[nodiscard]] int number() const { return number_; }

 private:
  int number_ = -1;  ///< -1: none
};

/// What can be read from it.
///   in     expected  bytes, as far as known;  most  one more is read at most, so that the caller sees there
///   is more fails  with an errno
[[nodiscard]] base::Result<std::string, int> bytes_of(int file, std::uintmax_t expected, std::uintmax_t most);

/// Writes a file that isn't there yet, in an open folder or AT_FDCWD. Nothing is left where it fails.
///   out  EEXIST where something of that name is there, a link too
[[nodiscard]] int write_new(int folder, const std::string& name, const std::string& bytes);

/// Renames, but never over what is there.
///   out  EEXIST
[[nodiscard]] int rename_beside(int from, const std::string& name, int to, const std::string& as);

}  // namespace halfround::cli
