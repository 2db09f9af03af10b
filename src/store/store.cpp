#include "store/store.h"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <sodium.h>

#include <chrono>
#include <mutex>

#include "store/open.h"

namespace halfround::store {

using base::Problem;

struct Store::Inside {
  FolderLock lock;  ///< let go after the file is closed
  std::unique_ptr<SQLite::Database> db;
  std::string file;
  std::mutex one_at_a_time;
  int changed = 0;  ///< revisions since the last good copy
};

namespace {

constexpr int kCopyEvery = 500;  // edits; a copy of ten thousand takes a fifth of a second

std::string now() {
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::chrono::system_clock::now()));
}

std::string fresh_id() {
  unsigned char bytes[8];
  randombytes_buf(bytes, sizeof bytes);
  std::string out;
  for (const unsigned char b : bytes) out += fmt::format("{:02x}", b);
  return out;
}

tl::unexpected<Problem> refuse(const char* code, std::string what, const char* fits) {
  return tl::unexpected(Problem{code, {}, std::move(what), fits});
}

Revision read(SQLite::Statement& row) {
  return {row.getColumn("number").getInt64(), row.getColumn("text").getString(),
          row.getColumn("what").getString(),  row.getColumn("name").getString(),
          row.getColumn("at").getString(),    static_cast<How>(row.getColumn("how").getInt()),
          row.getColumn("back").getInt64(),   row.getColumn("forward").getInt64()};
}

constexpr const char* kRow = "select number, text, what, name, at, how, back, forward from revisions where ";

void bind_all(SQLite::Statement&, int) {}
template <class First, class... Rest>
void bind_all(SQLite::Statement& s, int n, const First& first, const Rest&... rest) {
  s.bind(n, first);
  bind_all(s, n + 1, rest...);
}

template <class... Values>
void run(SQLite::Database& db, const char* sql, const Values&... values) {
  SQLite::Statement s(db, sql);
  bind_all(s, 1, values...);
  s.exec();
}

Result<Revision> newest_of(SQLite::Database& db, const std::string& job) {
  SQLite::Statement s(db,
                      std::string(kRow) + "job = ?1 and number = (select newest from jobs where id = ?1)");
  s.bind(1, job);
  if (s.executeStep()) return read(s);
  return refuse("no-such-job", fmt::format("There is no job {}.", job), "Choose one of the list.");
}

Result<Revision> revision_of(SQLite::Database& db, const std::string& job, std::int64_t number) {
  SQLite::Statement s(db, std::string(kRow) + "job = ?1 and number = ?2");
  bind_all(s, 1, job, number);
  if (s.executeStep()) return read(s);
  return refuse("no-such-revision", fmt::format("There is no revision {} of job {}.", number, job),
                "Choose one of the list.");
}

void put(SQLite::Database& db, const std::string& job, const Revision& r) {
  run(db,
      "insert into revisions(job, number, text, what, at, how, back, forward) values(?, ?, ?, ?, ?, ?, ?, ?)",
      job, r.number, r.text, r.what, r.at, static_cast<int>(r.how), r.back, r.forward);
  run(db, "update jobs set newest = ?, changed = ? where id = ?", r.number, r.at, job);
}

/// Runs `work` alone, and turns what SQLite throws into a problem.
template <class Work>
auto alone(auto& in, const Work& work) -> decltype(work(*in.db)) {
  const std::lock_guard lock(in.one_at_a_time);
  try {
    return work(*in.db);
  } catch (const SQLite::Exception& e) {
    return tl::unexpected(in_our_words(e, in.file));
  }
}

}  // namespace

Store::Store(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}
Store::~Store() {
  if (in_->changed > 0 && in_->lock.held()) renew_copy(*in_->db);
}

Result<std::unique_ptr<Store>> Store::open(const std::string& folder, const OpenOptions& options) {
  base::check(sodium_init() >= 0, "the library for random numbers starts");
  auto inside = std::make_unique<Inside>();
  auto db = open_file(folder, options, inside->lock);
  if (!db) return tl::unexpected(db.error());
  inside->file = (*db)->getFilename();
  inside->db = std::move(*db);
  return std::unique_ptr<Store>(new Store(std::move(inside)));
}

Result<std::vector<JobRow>> Store::jobs() {
  return alone(*in_, [](SQLite::Database& db) -> Result<std::vector<JobRow>> {
    std::vector<JobRow> out;
    SQLite::Statement s(
        db, "select id, name, newest, changed from jobs where kind = 'job' order by changed desc, id");
    while (s.executeStep())
      out.push_back({s.getColumn(0).getString(), s.getColumn(1).getString(), s.getColumn(2).getInt64(),
                     s.getColumn(3).getString()});
    return out;
  });
}

Result<std::string> Store::add_job(const std::string& name, const std::string& text, How how,
                                   const std::string& what, Kind kind) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::string> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const std::string id = fresh_id(), at = now();
    run(db, "insert into jobs(id, name, newest, changed, kind) values(?, ?, 1, ?, ?)", id, name, at,
        kind == Kind::shop ? "shop" : "job");
    put(db, id, {1, text, what, "", at, how, 0, 0});
    all.commit();
    ++in_->changed;
    return id;
  });
}

Result<std::string> Store::shop() {
  return alone(*in_, [](SQLite::Database& db) -> Result<std::string> {
    SQLite::Statement s(db, "select id from jobs where kind = 'shop'");
    return s.executeStep() ? s.getColumn(0).getString() : std::string();
  });
}

Result<Revision> Store::newest(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) { return newest_of(db, job); });
}

Result<Revision> Store::revision(const std::string& job, std::int64_t number) {
  return alone(*in_, [&](SQLite::Database& db) { return revision_of(db, job, number); });
}

Result<std::vector<Revision>> Store::revisions(const std::string& job, int most) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::vector<Revision>> {
    if (const auto there = newest_of(db, job); !there) return tl::unexpected(there.error());
    SQLite::Statement s(db,
                        "select number, '' as text, what, name, at, how, back, forward from revisions "
                        "where job = ? order by number desc limit ?");
    bind_all(s, 1, job, most);
    std::vector<Revision> out;
    while (s.executeStep()) out.push_back(read(s));
    return out;
  });
}

Result<std::int64_t> Store::add(const std::string& job, std::int64_t on, const std::string& text,
                                const std::string& name, const std::string& what, How how) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = newest_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->number != on)
      return refuse("revision-stale", fmt::format("Revision {} is no longer the newest.", on),
                    "Look at the newest one first.");
    put(db, job, {last->number + 1, text, what, "", now(), how, last->number, 0});
    run(db, "update jobs set name = ? where id = ?", name, job);
    all.commit();
    if (++in_->changed % kCopyEvery == 0 && in_->lock.held() && renew_copy(db)) in_->changed = 0;
    return last->number + 1;
  });
}

Result<std::int64_t> Store::undo(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = newest_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->back == 0)
      return refuse("nothing-to-undo", "There is nothing to undo.", "This is how it began.");
    const auto was = revision_of(db, job, last->back);
    if (!was) return tl::unexpected(was.error());
    put(db, job, {last->number + 1, was->text, was->what, "", now(), How::undo, was->back, last->number});
    all.commit();
    return last->number + 1;
  });
}

Result<std::int64_t> Store::redo(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = newest_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->forward == 0)
      return refuse("nothing-to-redo", "There is nothing to redo.", "Nothing was undone.");
    const auto then = revision_of(db, job, last->forward);
    if (!then) return tl::unexpected(then.error());
    put(db, job, {last->number + 1, then->text, then->what, "", now(), How::redo, then->back, then->forward});
    all.commit();
    return last->number + 1;
  });
}

Result<void> Store::name_newest(const std::string& job, const std::string& name) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<void> {
    const auto last = newest_of(db, job);
    if (!last) return tl::unexpected(last.error());
    run(db, "update revisions set name = ? where job = ? and number = ?", name, job, last->number);
    return {};
  });
}

Result<void> Store::log(const std::string& job, const LogRow& row) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<void> {
    if (const auto there = newest_of(db, job); !there) return tl::unexpected(there.error());
    run(db, "insert into log(job, at, who, what, key, typed) values(?, ?, ?, ?, ?, ?)", job, now(), row.who,
        row.what, row.key, row.typed);
    return {};
  });
}

Result<std::vector<LogRow>> Store::log_of(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::vector<LogRow>> {
    if (const auto there = newest_of(db, job); !there) return tl::unexpected(there.error());
    SQLite::Statement s(
        db, "select at, who, what, key, typed from log where job = ? order by id desc limit 1000");
    s.bind(1, job);
    std::vector<LogRow> out;
    while (s.executeStep())
      out.push_back({s.getColumn(0).getString(), s.getColumn(1).getString(), s.getColumn(2).getString(),
                     s.getColumn(3).getString(), s.getColumn(4).getString()});
    return out;
  });
}

Result<void> Store::tick(const std::string& job, const Tick& tick) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<void> {
    if (const auto there = newest_of(db, job); !there) return tl::unexpected(there.error());
    run(db, "insert or replace into ticks(job, step, done, who, at) values(?, ?, ?, ?, ?)", job, tick.step,
        tick.done ? 1 : 0, tick.who, now());
    return {};
  });
}

Result<std::vector<Tick>> Store::ticks_of(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::vector<Tick>> {
    if (const auto there = newest_of(db, job); !there) return tl::unexpected(there.error());
    SQLite::Statement s(db, "select step, who, at, done from ticks where job = ? order by step");
    s.bind(1, job);
    std::vector<Tick> out;
    while (s.executeStep())
      out.push_back({s.getColumn(0).getString(), s.getColumn(1).getString(), s.getColumn(2).getString(),
                     s.getColumn(3).getInt() != 0});
    return out;
  });
}

Result<std::int64_t> Store::add_token(const std::string& hash) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    run(db, "insert into tokens(hash, made) values(?, ?)", hash, now());
    return db.getLastInsertRowid();
  });
}

Result<bool> Store::knows_token(const std::string& hash) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<bool> {
    SQLite::Statement s(db, "select 1 from tokens where hash = ?");
    s.bind(1, hash);
    return s.executeStep();
  });
}

Result<void> Store::withdraw_token(std::int64_t id) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<void> {
    run(db, "delete from tokens where id = ?", id);
    return {};
  });
}

Result<std::string> Store::setting(const std::string& name) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::string> {
    SQLite::Statement s(db, "select value from settings where name = ?");
    s.bind(1, name);
    return s.executeStep() ? s.getColumn(0).getString() : std::string();
  });
}

Result<void> Store::set(const std::string& name, const std::string& value) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<void> {
    run(db, "insert or replace into settings(name, value) values(?, ?)", name, value);
    return {};
  });
}

}  // namespace halfround::store
