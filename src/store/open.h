// Opening the file: sound, of a known version, alone, with a good copy beside it. Only this room sees this
// header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <memory>
#include <string>

#include "store/store.h"

namespace halfround::store {

/// "halfround.lock" in a folder, held as long as this lives, or until the process is gone.
class FolderLock {
 public:
  FolderLock() = default;
  ~FolderLock();
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;
  /// 0, or why not, as errno says it: EWOULDBLOCK where another one holds it.
  [[nodiscard]] int take(const std::string& folder);
  [[nodiscard]] bool held() const { return file_ >= 0; }

 private:
  int file_ = -1;
};

/// What SQLite complained of, in our words.
///   in  file  its path, still open: closing it would cover up what the system said
[[nodiscard]] base::Problem in_our_words(const SQLite::Exception& e, const std::string& file);

///   in     lock  taken here, but for visits to a file that needs no migration
///   fails  as Store::open
[[nodiscard]] Result<std::unique_ptr<SQLite::Database>> open_file(const std::string& folder,
                                                                  const OpenOptions& options,
                                                                  FolderLock& lock);

/// Writes the good copy anew; false where that can't be done: the old one stays.
bool renew_copy(SQLite::Database& db);

}  // namespace halfround::store
