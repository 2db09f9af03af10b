#include "store/file.h"

#include <SQLiteCpp/Backup.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdint>
#include <thread>

#include "store/hash.h"

namespace halfround::store {

namespace {

constexpr int kStep = 64;  // pages of 4 kB at a time

[[noreturn]] void fail(const fs::path& file, int error) {
  throw fs::filesystem_error("", file, {error, std::system_category()});
}

bool has_table(SQLite::Database& db, const char* name) {
  SQLite::Statement s(db, "select 1 from sqlite_master where type = 'table' and name = ?");
  s.bind(1, name);
  return s.executeStep();
}

std::string uri_of(const fs::path& file) {
  std::string out = "file:";
  for (const char c : fs::absolute(file).string()) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '/' || c == '.' || c == '-' || c == '_';
    out += plain ? std::string(1, c) : fmt::format("%{:02x}", static_cast<unsigned char>(c));
  }
  return out + "?immutable=1";
}

}  // namespace

void make_private(const fs::path& file, bool fresh) {
  const int f = ::open(file.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (f >= 0) {
    const int error = ::fchmod(f, 0600) == 0 ? 0 : errno;
    ::close(f);
    if (error != 0) fail(file, error);
    return;
  }
  if (fresh || errno != EEXIST) fail(file, errno);
  // by its name: to open and close it would let go SQLite's locks of this process [SQLite, "How To Corrupt An
  // SQLite Database File", 2.2, from memory]
  struct stat s {};
  if (::stat(file.c_str(), &s) != 0) fail(file, errno);
  if (s.st_uid != ::geteuid() || (s.st_mode & 0777) == 0600) return;
  if (::chmod(file.c_str(), 0600) != 0) fail(file, errno);
}

void make_private_folder(const fs::path& folder) {
  struct stat s {};
  if (::stat(folder.c_str(), &s) != 0) {
    if (folder.has_parent_path() && folder.parent_path() != folder)
      fs::create_directories(folder.parent_path());
    if (::mkdir(folder.c_str(), 0700) != 0 && errno != EEXIST) fail(folder, errno);
    if (::chmod(folder.c_str(), 0700) != 0 || ::stat(folder.c_str(), &s) != 0) fail(folder, errno);
  }
  if (!S_ISDIR(s.st_mode)) fail(folder, ENOTDIR);
  if (s.st_uid != ::geteuid() || (s.st_mode & S_ISVTX) != 0 || (s.st_mode & 0777) == 0700) return;
  if ((s.st_mode & S_IWUSR) == 0) return;  // its owner wants nothing written there
  if (::chmod(folder.c_str(), 0700) != 0) fail(folder, errno);
}

void make_sure_of(const fs::path& file) {
  const int f = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  const int error = f < 0 || ::fsync(f) != 0 ? errno : 0;
  if (f >= 0) ::close(f);
  if (error != 0) fail(file, error);
}

void connect(std::unique_ptr<SQLite::Database>& db, const std::string& file) {
  db = std::make_unique<SQLite::Database>(file, SQLite::OPEN_READWRITE, 1000);
  know_hash(*db);
  db->exec("pragma journal_mode = wal");
  db->exec("pragma synchronous = full");
  db->exec("pragma foreign_keys = on");
  db->exec("pragma cache_size = -4000");
}

SQLite::Database look_into(const fs::path& file) {
  SQLite::Database db(uri_of(file), SQLite::OPEN_READONLY | SQLite::OPEN_URI);
  know_hash(db);
  return db;
}

std::int64_t changes_of(SQLite::Database& db) {
  return has_table(db, "counter") ? db.execAndGet("select changes from counter").getInt64() : 0;
}

std::string unsound(SQLite::Database& db) {
  SQLite::Statement check(db, "pragma quick_check(1)");
  const std::string found = check.executeStep() ? check.getColumn(0).getString() : "no answer";
  if (found != "ok") return found;
  if (!has_table(db, "counter")) return "";  // an older version, without hashes
  SQLite::Statement texts(db, "select job, number from revisions where hash <> text_hash(text) limit 1");
  if (!texts.executeStep()) return "";
  return fmt::format("the text of revision {} of job {} is not the one that was kept",
                     texts.getColumn(1).getInt64(), texts.getColumn(0).getString());
}

std::string lacking(SQLite::Database& newer, SQLite::Database& older) {
  SQLite::Statement all(
      older,
      "select r.job, j.name, r.number, r.text from jobs j join revisions r "
      "on r.job = j.id and r.number = (select max(number) from revisions where job = j.id)");
  SQLite::Statement last(newer, "select max(number) from revisions where job = ?");
  SQLite::Statement same(newer, "select 1 from revisions where job = ? and number = ? and text = ?");
  while (all.executeStep()) {
    const std::string job = all.getColumn(0).getString(), name = all.getColumn(1).getString();
    const std::int64_t number = all.getColumn(2).getInt64();
    last.reset(), last.bind(1, job);
    if (!last.executeStep() || last.getColumn(0).isNull()) return fmt::format("the job {}", name);
    if (const std::int64_t has = last.getColumn(0).getInt64(); has < number)
      return fmt::format("revisions {} to {} of {}", has + 1, number, name);
    same.reset(), same.bind(1, job), same.bind(2, number), same.bind(3, all.getColumn(3).getString());
    if (!same.executeStep()) return fmt::format("revision {} of {} as it is there", number, name);
  }
  return changes_of(newer) < changes_of(older) ? "names, ticked steps, log lines or settings" : "";
}

void copy_out(const std::string& file, const fs::path& to) {
  fs::remove(to);
  make_private(to, true);
  {
    SQLite::Database from(file, SQLite::OPEN_READWRITE,
                          1000);  // a reader of WAL needs to write beside the file
    SQLite::Database out(to.string(), SQLite::OPEN_READWRITE);
    from.exec("begin");
    from.execAndGet("select count(*) from sqlite_master");  // from here on it stays as it is, for this reader
    {
      SQLite::Backup backup(out, from);
      while (backup.executeStep(kStep) != SQLITE_DONE) std::this_thread::yield();
    }
    from.exec("rollback");
    out.exec("pragma journal_mode = delete");
  }
  make_sure_of(to);
}

}  // namespace halfround::store
