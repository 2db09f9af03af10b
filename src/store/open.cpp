#include "store/open.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <cerrno>
#include <cstring>

#include "store/copies.h"
#include "store/exchange.h"
#include "store/file.h"
#include "store/migrations.h"
#include "store/noted.h"

namespace halfround::store {

using base::Problem;

namespace {

std::string take_copy_words(const fs::path& folder) {
  const fs::path copy = best_copy(folder);
  if (copy.empty())
    return fmt::format(
        "There is no good copy beside it: put a backup back with `halfround jobs restore FILE`. To begin "
        "anew, move what "
        "lies in {} elsewhere.",
        folder.string());
  return fmt::format(
      "The last good copy is {}; to go on with it start with --take-copy: the damaged file is put aside.",
      copy.string());
}

Problem damaged(const std::string& file, const std::string& why) {
  return {"store-damaged",
          {file, 0, 0, ""},
          fmt::format("The store is damaged and was left as it is ({}).", why),
          take_copy_words(fs::path(file).parent_path())};
}

Problem behind(const std::string& file, const std::string& lacks) {
  return {
      "store-behind",
      {file, 0, 0, ""},
      fmt::format("The store is older than its good copy: it lacks {}. Both were left as they are.", lacks),
      fmt::format(
          "To go on with {}, start with --take-copy: the store is put aside. To go on with the store, move "
          "{}, {} and {} elsewhere first.",
          best_copy(fs::path(file).parent_path()).string(), kCopy, kOlderCopy, kNoted)};
}

/// Nobody else knows what is missing.
Problem behind_its_note(const std::string& file, std::int64_t changes) {
  return {"store-behind",
          {file, 0, 0, ""},
          fmt::format("The store lacks {} change{} that {} accepted; it was left as it is.", changes,
                      changes == 1 ? "" : "s", changes == 1 ? "was" : "were"),
          fmt::format("If halfround.db-wal is elsewhere, put it beside the file; or put a backup back with "
                      "`halfround jobs "
                      "restore FILE`. To go on without them, move {} elsewhere.",
                      kNoted)};
}

Problem busy(const std::string& file) {
  return {"store-busy",
          {file, 0, 0, ""},
          "Another halfround has the store open.",
          "Close it, or give another --data."};
}

/// What the system said to SQLite; 0 where it said nothing. Of a commit SQLite itself doesn't keep it.
int error_of(int code) {
  if (code == SQLITE_FULL) return ENOSPC;
  if (code == SQLITE_READONLY) return EROFS;
  return code == SQLITE_IOERR || code == SQLITE_CANTOPEN ? errno : 0;
}

/// What became of the file, where only a copy or what stood beside it is left; a new store begun in its place
/// would take the copy's too.
std::string lost(const fs::path& folder) {
  const fs::path file = folder / kFile;
  const bool rest = fs::exists(file.string() + "-wal") && fs::file_size(file.string() + "-wal") > 0;
  if (copies_in(folder).empty() && !rest && noted_in(folder) == 0) return "";
  if (!fs::exists(file)) return "halfround.db is gone";
  return fs::file_size(file) == 0 && !copies_in(folder).empty() ? "halfround.db is empty" : "";
}

/// Connected, looked through unless it is a visit. What is wrong with the file; "" where nothing is.
std::string connected(std::unique_ptr<SQLite::Database>& db, const fs::path& file, bool visit) {
  const fs::path folder = file.parent_path();
  if (std::string why = lost(folder); !why.empty()) return why;
  if (!visit)
    for (const fs::path& copy : copies_in(folder)) make_private(copy);
  for (const char* end : kEnds)
    if (*end == 0 || fs::exists(file.string() + end)) make_private(file.string() + end);
  try {
    connect(db, file);
    // its tables were beside the file, in what is gone now
    if (db->execAndGet("pragma user_version").getInt() == 0 && !copies_in(folder).empty())
      return "halfround.db has no jobs in it, its copy has";
    return visit ? "" : unsound(*db);
  } catch (const SQLite::Exception& e) {
    const int code = e.getErrorCode() & 0xFF;
    if (code != SQLITE_CORRUPT && code != SQLITE_NOTADB) throw;
    return e.what();
  }
}

Problem newer(const std::string& file, int version) {
  return {"store-newer",
          {file, 0, 0, ""},
          fmt::format("The store has version {}; this program knows {}.", version, kVersion),
          "Use the newer halfround that wrote it."};
}

/// Alone in the folder, or a visitor of it; what an exchange left half done is done.
///   out  an errno; 0 where all is well
int entered(const fs::path& folder, bool visit, FolderLock& lock, FolderLock& visiting) {
  if (!visit)
    if (const int error = lock.take(folder)) return error;
  if (exchange_begun(folder)) {
    FolderLock all;
    if (const int error = lock.take(folder)) return error;
    if (const int error = all.take(folder, kVisiting)) return error;
    finish_exchange(folder);
  }
  if (visit) return visiting.take(folder, kVisiting, true);
  clear_leftovers(folder);
  return 0;
}

}  // namespace

Problem unwritable(int error, const std::string& otherwise, const std::string& file) {
  const base::Place where{file, 0, 0, ""};
  if (error == ENOSPC || error == EDQUOT) {
    return {"store-unwritable", where, "The disk is full: nothing can be saved.",
            "Make room, then do it once more; what was saved before is still there."};
  }
  if (error == EFBIG) {
    return {"store-unwritable", where, "The file would be larger than this account may write (ulimit -f).",
            "Raise that limit, then do it once more; what was saved before is still there."};
  }
  if (error == EROFS || error == EACCES || error == EPERM) {
    return {"store-unwritable", where, "The folder can't be written to.",
            "Change that, or give another --data; what was saved before is still there."};
  }
  return {"store-unwritable", where, fmt::format("The store can't be used: {}.", otherwise),
          "Nothing that was saved is lost; try once more."};
}

Problem in_our_words(const SQLite::Exception& e, const std::string& file) {
  const int code = e.getErrorCode() & 0xFF, error = error_of(code);
  if (code == SQLITE_CORRUPT || code == SQLITE_NOTADB) return damaged(file, e.getErrorStr());
  if (code == SQLITE_BUSY || code == SQLITE_LOCKED) return busy(file);
  return unwritable(error, e.what(), file);
}

Problem not_alone(int error, const std::string& file) {
  return error == EWOULDBLOCK ? busy(file) : unwritable(error, std::strerror(error), file);
}

Result<std::unique_ptr<SQLite::Database>> open_file(const std::string& named, const OpenOptions& options,
                                                    FolderLock& lock, FolderLock& visit) {
  const fs::path folder = named.empty() ? fs::path(".") : fs::path(named), file = folder / kFile;
  std::unique_ptr<SQLite::Database> db;
  try {
    make_private_folder(folder);
    if (const int error = entered(folder, options.visit, lock, visit))
      return tl::unexpected(not_alone(error, file));
    const std::int64_t noted = noted_in(folder);  // before the file is: others may be adding to both
    std::string why = connected(db, file, options.visit), lacks;
    if (why.empty() && !options.visit) lacks = lacks_of_copies(file);
    if (!why.empty() || !lacks.empty()) {
      const fs::path copy = best_copy(folder);
      if (!options.take_copy || options.visit || copy.empty())
        return tl::unexpected(why.empty() ? behind(file, lacks) : damaged(file, why));
      db.reset();
      FolderLock all;
      if (const int error = all.take(folder, kVisiting)) return tl::unexpected(not_alone(error, file));
      exchange(folder, copy, Copies::stay);
      connect(db, file);
    }
    if (const std::int64_t missing = noted_in(folder) == 0 ? 0 : noted - changes_of(*db); missing > 0)
      return tl::unexpected(behind_its_note(file, missing));
    const int version = db->execAndGet("pragma user_version").getInt();
    if (version > kVersion) return tl::unexpected(newer(file, version));
    if (version < kVersion) {
      if (const int error = lock.take(folder)) return tl::unexpected(not_alone(error, file));
      const int now = db->execAndGet("pragma user_version").getInt();  // somebody else may have done it
      migrate(*db, now);
    }
    if (!options.visit || version == 0)
      db->exec("pragma wal_checkpoint(truncate)");  // the file alone has it all
    if (!options.visit) renew_copy(file);
    return db;
  } catch (const SQLite::Exception& e) {
    return tl::unexpected(in_our_words(e, file));
  } catch (const fs::filesystem_error& e) {
    return tl::unexpected(unwritable(e.code().value(), e.code().message(), file));
  }
}

}  // namespace halfround::store
