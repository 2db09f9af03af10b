#include "store/copies.h"

#include <utility>

#include "store/file.h"
#include "store/hash.h"

namespace halfround::store {

namespace {

constexpr int kCopyEvery = 500;                        // changes
constexpr auto kCopyAfter = std::chrono::minutes(10);  // where there were fewer
constexpr auto kTryAgain = std::chrono::minutes(1);    // after one that could not be written

/// Sound, and of this store or an older version of it.
bool trusted(const fs::path& copy) {
  try {
    SQLite::Database db = look_into(copy);
    return db.execAndGet("select count(*) from sqlite_master where name in ('jobs', 'revisions')").getInt() ==
               2 &&
           unsound(db).empty();
  } catch (const SQLite::Exception&) {
    return false;
  }
}

std::string lacking_of(SQLite::Database& db, const fs::path& copy) {
  try {
    SQLite::Database older = look_into(copy);
    return lacking(db, older);
  } catch (const SQLite::Exception&) {
    return "";  // it can't be read
  }
}

/// Nothing was changed since: the same counter, and nothing lacks either way.
bool same(SQLite::Database& db, const fs::path& copy) {
  try {
    SQLite::Database older = look_into(copy);
    const auto changes = [](SQLite::Database& of) {
      return of.execAndGet("select changes from counter").getInt64();
    };
    return changes(db) == changes(older) && lacking(db, older).empty();
  } catch (const SQLite::Exception&) {
    return false;
  }
}

/// false: one of the copies has more
bool put_first(const fs::path& fresh, const fs::path& folder) {
  const fs::path copy = folder / kCopy, older = folder / kOlderCopy;
  const bool good = trusted(copy);
  {
    SQLite::Database db = look_into(fresh);
    if (!unsound(db).empty()) return false;
    if (good && !lacking_of(db, copy).empty()) return false;
    if (trusted(older) && !lacking_of(db, older).empty()) return false;
  }
  if (good) fs::rename(copy, older);
  fs::rename(fresh, copy);
  make_sure_of(folder);
  return true;
}

}  // namespace

std::vector<fs::path> copies_in(const fs::path& folder) {
  std::vector<fs::path> out;
  for (const char* name : {kCopy, kOlderCopy})
    if (fs::exists(folder / name)) out.push_back(folder / name);
  return out;
}

fs::path best_copy(const fs::path& folder) {
  for (const fs::path& copy : copies_in(folder))
    if (trusted(copy)) return copy;
  return {};
}

std::string lacks_of_copies(const std::string& file) {
  SQLite::Database db(file, SQLite::OPEN_READWRITE, 1000);
  know_hash(db);
  for (const fs::path& copy : copies_in(fs::path(file).parent_path())) {
    if (!trusted(copy)) continue;
    if (std::string lacks = lacking_of(db, copy); !lacks.empty()) return lacks;
  }
  return "";
}

bool renew_copy(const std::string& file) {
  const fs::path folder = fs::path(file).parent_path(), fresh = folder / (std::string(kCopy) + ".new");
  std::error_code ignored;
  try {
    if (fs::exists(folder / kCopy)) {
      SQLite::Database db(file, SQLite::OPEN_READWRITE, 1000);
      know_hash(db);
      if (same(db, folder / kCopy) && trusted(folder / kCopy)) return true;
    }
    copy_out(file, fresh);
    if (put_first(fresh, folder)) return true;
  } catch (const SQLite::Exception&) {  // no room, perhaps: the next edit says so
  } catch (const fs::filesystem_error&) {
  }
  fs::remove(fresh, ignored);
  return false;
}

CopyKeeper::CopyKeeper(std::string file) : file_(std::move(file)), thread_([this] { run(); }) {}

CopyKeeper::~CopyKeeper() {
  {
    const std::lock_guard lock(guard_);
    over_ = true;
  }
  news_.notify_all();
  thread_.join();
  if (changes_ > 0) renew_copy(file_);
}

void CopyKeeper::changed() {
  const std::lock_guard lock(guard_);
  if (++changes_ == 1 || changes_ == kCopyEvery) news_.notify_all();
}

void CopyKeeper::run() {
  std::unique_lock lock(guard_);
  const auto much = [this] { return over_ || changes_ >= kCopyEvery; };
  while (!over_) {
    news_.wait(lock, [this] { return over_ || changes_ > 0; });
    news_.wait_for(lock, kCopyAfter, much);
    if (over_) return;
    const int taken = std::exchange(changes_, 0);
    lock.unlock();
    const bool done = renew_copy(file_);
    lock.lock();
    if (done) continue;
    changes_ += taken;
    news_.wait_for(lock, kTryAgain, [this] { return over_; });
  }
}

}  // namespace halfround::store
