// Opening the file: sound, of a known version, alone, with a good copy beside it. Only this room sees this
// header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <memory>
#include <string>

#include "store/folder_lock.h"
#include "store/store.h"

namespace halfround::store {

/// What SQLite complained of, in our words.
///   in  file  its path, still open: closing it would cover up what the system said
[[nodiscard]] base::Problem in_our_words(const SQLite::Exception& e, const std::string& file);

/// Why nothing can be saved.
///   in  error  an errno; 0 where that isn't known;  otherwise  what to say then
[[nodiscard]] base::Problem unwritable(int error, const std::string& otherwise, const std::string& file);

/// Why a lock couldn't be had.
[[nodiscard]] base::Problem not_alone(int error, const std::string& file);

///   in     lock  taken here, but for visits to a file that needs no migration;  visit  taken by visits
///   fails  as Store::open
[[nodiscard]] Result<std::unique_ptr<SQLite::Database>> open_file(const std::string& folder,
                                                                  const OpenOptions& options,
                                                                  FolderLock& lock, FolderLock& visit);

}  // namespace halfround::store
