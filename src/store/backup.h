// The whole store in one file, to keep elsewhere, and back from there.
#pragma once

#include <cstdint>
#include <string>

#include "base/result.h"

namespace halfround::store {

/// What a backup holds.
struct Backup {
  std::int64_t jobs = 0, revisions = 0;
  std::string aside;  ///< restore: the folder of what was there before; "" where nothing was
};

/// Writes the store as it stands into a new file, for this user only. A server may run meanwhile.
///   fails  no-such-book (there is none in the folder), file-exists, store-damaged (a text isn't the one that
///   was kept), store-unwritable, store-busy
[[nodiscard]] base::Result<Backup> backup(const std::string& folder, const std::string& file);

/// Puts a backup in the store's place. What was there before is put aside. Devices must be paired again.
///   fails  file-unreadable, backup-unsound (the store is left as it is), store-newer, store-busy (a server
///   runs), store-unwritable
[[nodiscard]] base::Result<Backup> restore(const std::string& folder, const std::string& file);

}  // namespace halfround::store
