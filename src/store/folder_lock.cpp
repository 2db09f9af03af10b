#include "store/folder_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>

namespace halfround::store {

FolderLock::~FolderLock() {
  let_go();
}

void FolderLock::let_go() {
  if (file_ >= 0) ::close(file_);
  file_ = -1;
}

int FolderLock::take(const std::string& folder, const char* name, bool shared) {
  if (held()) return 0;
  const std::string path = (std::filesystem::path(folder) / name).string();
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (file < 0) return errno;
  (void)::fchmod(file, 0600);  // whatever the umask; where it isn't ours, it is somebody's who may
  if (::flock(file, (shared ? LOCK_SH : LOCK_EX) | LOCK_NB) != 0) {
    const int error = errno;
    ::close(file);
    return error;
  }
  file_ = file;
  return 0;
}

}  // namespace halfround::store
