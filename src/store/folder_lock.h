// Who may use a folder's store. Only this room sees this header.
#pragma once

#include <string>

namespace halfround::store {

inline constexpr const char* kServing = "halfround.lock";  ///< held alone by who serves the store
inline constexpr const char* kVisiting =
    "halfround-visits.lock";  ///< shared by visitors; alone: to exchange the file

/// A lock file in a folder, held as long as this lives, or until the process is gone.
class FolderLock {
 public:
  FolderLock() = default;
  ~FolderLock();
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;
  /// 0, or why not, as errno says it: EWOULDBLOCK where another one holds it.
  [[nodiscard]] int take(const std::string& folder, const char* name = kServing, bool shared = false);
  [[nodiscard]] bool held() const { return file_ >= 0; }
  void let_go();

 private:
  int file_ = -1;
};

}  // namespace halfround::store
