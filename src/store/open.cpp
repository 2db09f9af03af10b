#include "store/open.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/file.h>
#include <unistd.h>

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

/// The first thing SQLite finds wrong; "" where nothing is.
std::string unsound(SQLite::Database& db) {
  SQLite::Statement check(db, "pragma quick_check(1)");
  const std::string found = check.executeStep() ? check.getColumn(0).getString() : "no answer";
  return found == "ok" ? "" : found;
}

/// The damaged file and its companions get the first free number; the copy takes their place.
void put_aside(const fs::path& file, const fs::path& copy) {
  int n = 1;
  const auto aside = [&] { return fmt::format("{}.damaged-{}", file.string(), n); };
  while (fs::exists(aside())) ++n;
  fs::rename(file, aside());
  for (const char* end : {"-wal", "-shm"})
    if (fs::exists(file.string() + end)) fs::rename(file.string() + end, aside() + end);
  fs::copy_file(copy, file);
}

std::unique_ptr<SQLite::Database> connect(const std::string& file) {
  auto db = std::make_unique<SQLite::Database>(file, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 1000);
  db->exec("pragma journal_mode = wal");
  db->exec("pragma synchronous = full");
  db->exec("pragma foreign_keys = on");
  db->exec("pragma cache_size = -4000");
  return db;
}

}  // namespace

FolderLock::~FolderLock() {
  if (file_ >= 0) ::close(file_);
}

bool FolderLock::take(const std::string& folder) {
  if (held()) return true;
  const int file = ::open((fs::path(folder) / "halfround.lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (file < 0) return true;  // where nothing can be written SQLite says why
  if (::flock(file, LOCK_EX | LOCK_NB) != 0) {
    ::close(file);
    return false;
  }
  file_ = file;
  return true;
}

void renew_copy(SQLite::Database& db) {
  const fs::path copy = fs::path(db.getFilename()).parent_path() / kCopy;
  const fs::path fresh = copy.string() + ".new";
  std::error_code error;
  fs::remove(fresh, error);
  try {
    SQLite::Statement write(db, "vacuum into ?");
    write.bind(1, fresh.string());
    write.exec();
    fs::rename(fresh, copy, error);
  } catch (const SQLite::Exception&) {
    fs::remove(fresh, error);  // no room, perhaps: the next edit says so
  }
}

Problem in_our_words(const SQLite::Exception& e, const std::string& file) {
  const int code = e.getErrorCode() & 0xFF;
  const base::Place where{file, 0, 0, ""};
  if (code == SQLITE_CORRUPT || code == SQLITE_NOTADB) return damaged(file, e.getErrorStr());
  if (code == SQLITE_BUSY || code == SQLITE_LOCKED) return busy(file);
  const char* fits = code == SQLITE_FULL ? "The disk is full: make room, nothing that was saved is lost."
                     : code == SQLITE_READONLY
                         ? "The folder can't be written to: change that, or give another --data."
                     : code == SQLITE_CANTOPEN ? "Give a --data folder that can be written to."
                                               : "Nothing that was saved is lost; try once more.";
  return {"store-unwritable", where, fmt::format("The store can't be used: {}.", e.what()), fits};
}

Result<std::unique_ptr<SQLite::Database>> open_file(const std::string& folder, const OpenOptions& options,
                                                    FolderLock& lock) {
  const fs::path file = fs::path(folder) / kFile, copy = fs::path(folder) / kCopy;
  try {
    fs::create_directories(folder);
    if (!options.visit && !lock.take(folder)) return tl::unexpected(busy(file));
    std::string why;
    std::unique_ptr<SQLite::Database> db;
    try {
      db = connect(file);
      if (!options.visit) why = unsound(*db);
    } catch (const SQLite::Exception& e) {
      const int code = e.getErrorCode() & 0xFF;
      if (code != SQLITE_CORRUPT && code != SQLITE_NOTADB) throw;
      why = e.what();
    }
    if (!why.empty()) {
      db.reset();
      if (!options.take_copy || !fs::exists(copy)) return tl::unexpected(damaged(file, why));
      put_aside(file, copy);
      db = connect(file);
    }
    const int version = db->execAndGet("pragma user_version").getInt();
    if (version > kVersion) {
      return tl::unexpected(
          Problem{"store-newer",
                  {file, 0, 0, ""},
                  fmt::format("The store has version {}; this program knows {}.", version, kVersion),
                  "Use the newer halfround that wrote it."});
    }
    if (version < kVersion && !lock.take(folder)) return tl::unexpected(busy(file));
    migrate(*db, version);
    if (!options.visit) renew_copy(*db);
    return db;
  } catch (const SQLite::Exception& e) {
    return tl::unexpected(in_our_words(e, file));
  } catch (const fs::filesystem_error& e) {
    return tl::unexpected(Problem{"store-unwritable",
                                  {file, 0, 0, ""},
                                  fmt::format("The store can't be used: {}.", e.code().message()),
                                  "Give a --data folder that can be written to."});
  }
}

}  // namespace halfround::store
