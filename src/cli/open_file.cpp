#include "cli/open_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <utility>

namespace halfround::cli {

OpenFile::~OpenFile() {
  if (number_ >= 0) ::close(number_);
}
OpenFile::OpenFile(OpenFile&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
OpenFile& OpenFile::operator=(OpenFile&& other) noexcept {
  std::swap(number_, other.number_);
  return *this;
}

base::Result<std::string, int> bytes_of(int file, std::uintmax_t expected, std::uintmax_t most) {
  std::string text;
  text.reserve(static_cast<std::size_t>(std::min(expected, most)) + 1);
  char block[65536];
  while (text.size() <= most) {
    const ssize_t n = ::read(file, block, sizeof block);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return tl::unexpected(errno);
    if (n == 0) break;
    text.append(block, static_cast<std::size_t>(n));
  }
  return text;
}

int write_new(int folder, const std::string& name, const std::string& bytes) {
  const int file = ::openat(folder, name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
  if (file < 0) return errno;
  int error = 0;
  for (std::size_t done = 0; error == 0 && done < bytes.size();) {
    const ssize_t n = ::write(file, bytes.data() + done, bytes.size() - done);
    if (n >= 0)
      done += static_cast<std::size_t>(n);
    else if (errno != EINTR)
      error = errno;
  }
  if (::close(file) != 0 && error == 0) error = errno;
  if (error != 0) ::unlinkat(folder, name.c_str(), 0);
  return error;
}

int rename_beside(int from, const std::string& name, int to, const std::string& as) {
  if (::renameat2(from, name.c_str(), to, as.c_str(), RENAME_NOREPLACE) == 0) return 0;
  if (errno != EINVAL && errno != ENOSYS) return errno;
  // a disk that can't do that in one step
  if (::linkat(from, name.c_str(), to, as.c_str(), 0) == 0)
    return ::unlinkat(from, name.c_str(), 0) == 0 ? 0 : errno;
  if (errno != EPERM && errno != EOPNOTSUPP) return errno;
  struct stat s {};
  if (::fstatat(to, as.c_str(), &s, AT_SYMLINK_NOFOLLOW) == 0) return EEXIST;
  return ::renameat(from, name.c_str(), to, as.c_str()) == 0 ? 0 : errno;
}

}  // namespace halfround::cli
