#include "store/open.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

#include "store/migrations.h"

namespace halfround::store {

namespace fs = std::filesystem;
using base::Problem;

namespace {

constexpr const char* kFile = "halfround.db";
constexpr const char* kCopy = "halfround-copy.db";

Problem damaged(const std::string& file, const std::string& why) {
  const fs::path copy = fs::path(file).parent_path() / kCopy;
  std::string fits = "There is no good copy beside it.";
  if (fs::exists(copy))
    fits = fmt::format(
        "The last good copy is {}; to go on with it start with --take-copy: the damaged file is put aside.",
        copy.string());
  return {"store-damaged",
          {file, 0, 0, ""},
          fmt::format("The store is damaged and was left as it is ({}).", why),
          std::move(fits)};
}

Problem busy(const std::string& file) {
  return {"store-busy",
          {file, 0, 0, ""},
          "Another halfround has the store open.",
          "Close it, or give another --data."};
}

/// Why nothing can be saved.
///   in  error  an errno; 0 where that isn't known;  otherwise  what to say then
Problem unwritable(int error, const std::string& otherwise, const std::string& file) {
  const base::Place where{file, 0, 0, ""};
  if (error == ENOSPC || error == EDQUOT) {
    return {"store-unwritable", where, "The disk is full: nothing can be saved.",
            "Make room, then do it once more; what was saved before is still there."};
  }
  if (error == EROFS || error == EACCES || error == EPERM) {
    return {"store-unwritable", where, "The folder can't be written to.",
            "Change that, or give another --data; what was saved before is still there."};
  }
  return {"store-unwritable", where, fmt::format("The store can't be used: {}.", otherwise),
          "Nothing that was saved is lost; try once more."};
}

/// What the system said to SQLite; 0 where it said nothing. Of a commit SQLite itself doesn't keep it.
int error_of(int code) {
  if (code == SQLITE_FULL) return ENOSPC;
  if (code == SQLITE_READONLY) return EROFS;
  return code == SQLITE_IOERR || code == SQLITE_CANTOPEN ? errno : 0;
}

/// The first thing SQLite finds wrong; "" where nothing is.
std::string unsound(SQLite::Database& db) {
  SQLite::Statement check(db, "pragma quick_check(1)");
  const std::string found = check.executeStep() ? check.getColumn(0).getString() : "no answer";
  return found == "ok" ? "" : found;
}

/// What became of the file, where only the copy is left; a new store begun in its place would take the copy's
/// too.
std::string lost(const fs::path& file, const fs::path& copy) {
  if (!fs::exists(copy)) return "";
  if (!fs::exists(file)) return "halfround.db is gone";
  return fs::file_size(file) == 0 ? "halfround.db is empty" : "";
}

/// Its bytes are on the disk, not only on their way.
void make_sure_of(const fs::path& file) {
  const int f = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  const int error = f < 0 || ::fsync(f) != 0 ? errno : 0;
  if (f >= 0) ::close(f);
  if (error != 0) throw fs::filesystem_error("", file, {error, std::system_category()});
}

/// The damaged file and its companions get the first free number; the copy takes their place. There must be
/// room for it before anything is moved.
void put_aside(const fs::path& file, const fs::path& copy) {
  const fs::path fresh = file.string() + ".new";
  try {
    fs::copy_file(copy, fresh, fs::copy_options::overwrite_existing);
    make_sure_of(fresh);
  } catch (const fs::filesystem_error&) {
    std::error_code ignored;
    fs::remove(fresh, ignored);
    throw;
  }
  int n = 1;
  const auto aside = [&] { return fmt::format("{}.damaged-{}", file.string(), n); };
  while (fs::exists(aside())) ++n;
  for (const char* end : {"", "-wal", "-shm"})
    if (fs::exists(file.string() + end)) fs::rename(file.string() + end, aside() + end);
  fs::rename(fresh, file);
}

/// `db` stays open where a later word fails, so that what the system said isn't covered up.
void connect(std::unique_ptr<SQLite::Database>& db, const std::string& file) {
  db = std::make_unique<SQLite::Database>(file, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 1000);
  db->exec("pragma journal_mode = wal");
  db->exec("pragma synchronous = full");
  db->exec("pragma foreign_keys = on");
  db->exec("pragma cache_size = -4000");
}

}  // namespace

FolderLock::~FolderLock() {
  if (file_ >= 0) ::close(file_);
}

int FolderLock::take(const std::string& folder) {
  if (held()) return 0;
  const int file = ::open((fs::path(folder) / "halfround.lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (file < 0) return errno;
  if (::flock(file, LOCK_EX | LOCK_NB) != 0) {
    const int error = errno;
    ::close(file);
    return error;
  }
  file_ = file;
  return 0;
}

bool renew_copy(SQLite::Database& db) {
  const fs::path copy = fs::path(db.getFilename()).parent_path() / kCopy;
  const fs::path fresh = copy.string() + ".new";
  std::error_code ignored;
  fs::remove(fresh, ignored);
  try {
    SQLite::Statement write(db, "vacuum into ?");
    write.bind(1, fresh.string());
    write.exec();
    make_sure_of(fresh);
    fs::rename(fresh, copy);
    return true;
  } catch (const SQLite::Exception&) {  // no room, perhaps: the next edit says so
  } catch (const fs::filesystem_error&) {
  }
  fs::remove(fresh, ignored);
  return false;
}

Problem in_our_words(const SQLite::Exception& e, const std::string& file) {
  const int code = e.getErrorCode() & 0xFF, error = error_of(code);
  if (code == SQLITE_CORRUPT || code == SQLITE_NOTADB) return damaged(file, e.getErrorStr());
  if (code == SQLITE_BUSY || code == SQLITE_LOCKED) return busy(file);
  return unwritable(error, e.what(), file);
}

Result<std::unique_ptr<SQLite::Database>> open_file(const std::string& folder, const OpenOptions& options,
                                                    FolderLock& lock) {
  const fs::path file = fs::path(folder) / kFile, copy = fs::path(folder) / kCopy;
  std::unique_ptr<SQLite::Database> db;
  const auto not_alone = [&](int error) {
    return error == EWOULDBLOCK ? busy(file) : unwritable(error, std::strerror(error), file);
  };
  try {
    fs::create_directories(folder);
    if (!options.visit)
      if (const int error = lock.take(folder)) return tl::unexpected(not_alone(error));
    std::string why = lost(file, copy);
    try {
      if (why.empty()) connect(db, file);
      if (why.empty() && !options.visit) why = unsound(*db);
    } catch (const SQLite::Exception& e) {
      const int code = e.getErrorCode() & 0xFF;
      if (code != SQLITE_CORRUPT && code != SQLITE_NOTADB) throw;
      why = e.what();
    }
    if (!why.empty()) {
      db.reset();
      if (!options.take_copy || !fs::exists(copy)) return tl::unexpected(damaged(file, why));
      put_aside(file, copy);
      connect(db, file);
    }
    const int version = db->execAndGet("pragma user_version").getInt();
    if (version > kVersion) {
      return tl::unexpected(
          Problem{"store-newer",
                  {file, 0, 0, ""},
                  fmt::format("The store has version {}; this program knows {}.", version, kVersion),
                  "Use the newer halfround that wrote it."});
    }
    if (version < kVersion)
      if (const int error = lock.take(folder)) return tl::unexpected(not_alone(error));
    migrate(*db, version);
    if (!options.visit) renew_copy(*db);
    return db;
  } catch (const SQLite::Exception& e) {
    return tl::unexpected(in_our_words(e, file));
  } catch (const fs::filesystem_error& e) {
    return tl::unexpected(unwritable(e.code().value(), e.code().message(), file));
  }
}

}  // namespace halfround::store
