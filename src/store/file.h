// One SQLite file of a store: made for this user only, opened, looked through, copied. What goes wrong is
// thrown, SQLite::Exception or fs::filesystem_error. Only this room sees this header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>

namespace halfround::store {

namespace fs = std::filesystem;

inline constexpr const char* kFile = "halfround.db";
inline constexpr const char* kCopy = "halfround-copy.db";         ///< the last good copy
inline constexpr const char* kOlderCopy = "halfround-copy-2.db";  ///< and the one before

/// The file with what SQLite keeps beside it.
inline constexpr const char* kEnds[] = {"-wal", "-shm", ""};

/// Made if missing; nobody else on this machine may read or write it, whatever the umask.
///   in  fresh  nothing may be there yet, no link either
void make_private(const fs::path& file, bool fresh = false);
/// Likewise a folder, and those above it as far as they are missing. One that is there already is only
/// narrowed where it is ours and not shared by many, as /tmp is.
void make_private_folder(const fs::path& folder);

/// Its bytes are on the disk, not only on their way. A folder's too: its names.
void make_sure_of(const fs::path& file);

/// The store's own file as it is used: every commit on the disk. `db` stays open where a later word fails, so
/// that what the system said isn't covered up.
void connect(std::unique_ptr<SQLite::Database>& db, const std::string& file);
/// A file nobody writes to, left as it is; nothing appears beside it.
[[nodiscard]] SQLite::Database look_into(const fs::path& file);

/// The first thing wrong with it, a text that isn't the one that was kept included; "" where nothing is.
[[nodiscard]] std::string unsound(SQLite::Database& db);

/// Its counter of changes; 0 where it is of an older version, which didn't count.
[[nodiscard]] std::int64_t changes_of(SQLite::Database& db);

/// What `newer` lacks of what `older` has, in words: a job, revisions, later changes; "" where it has all.
[[nodiscard]] std::string lacking(SQLite::Database& newer, SQLite::Database& older);

/// The file as it stands now, in steps between which others may write; one file, nothing beside it, its bytes
/// on the disk.
void copy_out(const std::string& file, const fs::path& to);

}  // namespace halfround::store
