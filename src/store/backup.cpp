#include "store/backup.h"

#include <fmt/format.h>
#include <sodium.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "store/exchange.h"
#include "store/file.h"
#include "store/open.h"
#include "store/store.h"

namespace halfround::store {

using base::Problem;

namespace {

tl::unexpected<Problem> fail(const char* code, const std::string& file, std::string what, std::string fits) {
  return tl::unexpected(Problem{code, {file, 0, 0, ""}, std::move(what), std::move(fits)});
}

Backup counted(SQLite::Database& db) {
  return {db.execAndGet("select count(*) from jobs where kind = 'job'").getInt64(),
          db.execAndGet("select count(*) from revisions").getInt64(), ""};
}

tl::unexpected<Problem> there_already(const std::string& file) {
  return fail("file-exists", file, "is there already and was left alone.", "Give another name.");
}

/// What is wrong with a file that should be put in the store's place; looked at in a copy of it, so that
/// nothing appears beside the file.
Result<void> looked_at(const std::string& file, const fs::path& copy, Backup& out) {
  const auto unsound_file = [&](const std::string& why) {
    return fail("backup-unsound", file, fmt::format("can't be put in the book's place: {}.", why),
                "Give a file that `halfround jobs backup` wrote, or a halfround.db with what lay beside it.");
  };
  try {
    for (const char* end : {"", "-wal"}) {
      if (!fs::exists(file + end)) continue;
      make_private(copy.string() + end);
      fs::copy_file(file + end, copy.string() + end, fs::copy_options::overwrite_existing);
    }
    std::unique_ptr<SQLite::Database> db;
    connect(db, copy);
    const int version = db->execAndGet("pragma user_version").getInt();
    if (version > kVersion)
      return fail("store-newer", file,
                  fmt::format("It has version {}; this program knows {}.", version, kVersion),
                  "Use the newer halfround that wrote it.");
    if (version < 1) return unsound_file("it is no book of jobs");
    if (const std::string why = unsound(*db); !why.empty()) return unsound_file(why);
    const char* jobs =
        version < 2 ? "select count(*) from jobs" : "select count(*) from jobs where kind = 'job'";
    out.jobs = db->execAndGet(jobs).getInt64();
    out.revisions = db->execAndGet("select count(*) from revisions").getInt64();
    return {};
  } catch (const SQLite::Exception& e) {
    return unsound_file(e.what());
  }
}

}  // namespace

Result<Backup> backup(const std::string& folder, const std::string& file) {
  base::check(sodium_init() >= 0, "the library for hashes starts");
  if (!fs::exists(fs::path(folder) / kFile))
    return fail("no-such-book", folder, "There is no book here yet.",
                "`halfround serve` and `halfround keep FILE` begin one.");
  if (fs::exists(file)) return there_already(file);
  const auto open = Store::open(folder, {.visit = true});  // of this version, and not exchanged meanwhile
  if (!open) return tl::unexpected(open.error());
  const fs::path beside = fmt::format("{}.{}.part", file, ::getpid());
  const auto gone = [&] {
    std::error_code ignored;
    fs::remove(beside, ignored);
  };
  try {
    copy_out((fs::path(folder) / kFile).string(), beside);
    Backup out;
    {
      SQLite::Database db = look_into(beside);
      if (const std::string why = unsound(db); !why.empty()) {
        gone();
        return fail("store-damaged", folder, fmt::format("No backup was made: {}.", why),
                    "Close the server and start it again: it says what can be done.");
      }
      out = counted(db);
    }
    if (::link(beside.c_str(), file.c_str()) != 0) {
      const int error = errno;
      if (error != EPERM && error != EOPNOTSUPP) {  // a disk without links
        gone();
        return error == EEXIST
                   ? there_already(file)
                   : Result<Backup>(tl::unexpected(unwritable(error, std::strerror(error), file)));
      }
      fs::rename(beside, file);
    }
    gone();
    make_sure_of(fs::absolute(file).parent_path());
    return out;
  } catch (const SQLite::Exception& e) {
    const Problem said = in_our_words(e, file);
    gone();
    return tl::unexpected(said);
  } catch (const fs::filesystem_error& e) {
    gone();
    return tl::unexpected(unwritable(e.code().value(), e.code().message(), file));
  }
}

Result<Backup> restore(const std::string& folder, const std::string& file) {
  base::check(sodium_init() >= 0, "the library for hashes starts");
  std::error_code error;
  if (!fs::is_regular_file(file, error))
    return fail("file-unreadable", file,
                fs::exists(file, error) ? "could not be read: it is no file."
                                        : "could not be read: there is no such file.",
                "Give the path of a backup.");
  const std::string own = (fs::path(folder) / kFile).string();
  const fs::path looking = fs::path(folder) / kLookedAt;
  const auto gone = [&] {
    std::error_code ignored;
    fs::remove_all(looking, ignored);
  };
  try {
    make_private_folder(folder);
    FolderLock serving, visiting;
    if (const int held = serving.take(folder)) return tl::unexpected(not_alone(held, own));
    if (const int held = visiting.take(folder, kVisiting)) return tl::unexpected(not_alone(held, own));
    if (exchange_begun(folder)) finish_exchange(folder);
    clear_leftovers(folder);
    gone();
    make_private_folder(looking);
    Backup out;
    const auto fine = looked_at(file, looking / kFile, out);
    if (!fine) {
      gone();
      return tl::unexpected(fine.error());
    }
    out.aside = exchange(folder, looking / kFile, Copies::go_aside).string();
    gone();
    return out;
  } catch (const SQLite::Exception& e) {
    const Problem said = in_our_words(e, own);
    gone();
    return tl::unexpected(said);
  } catch (const fs::filesystem_error& e) {
    gone();
    return tl::unexpected(unwritable(e.code().value(), e.code().message(), own));
  }
}

}  // namespace halfround::store
