#include "store/store.h"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <sodium.h>

#include <chrono>

#include "base/text_mark.h"
#include "store/file.h"
#include "store/hash.h"
#include "store/inside.h"

namespace halfround::store {

using base::Problem;

std::string words_of(std::chrono::system_clock::time_point time) {
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}",
                     fmt::gmtime(std::chrono::time_point_cast<std::chrono::seconds>(time)));
}

std::string now() {
  return words_of(std::chrono::system_clock::now());
}

void note_changes(SQLite::Database& db, const NotedChanges& noted) {
  try {
    noted.note(changes_of(db));
  } catch (const SQLite::Exception&) {
  }
}

Result<Head> head_of(SQLite::Database& db, const std::string& job) {
  SQLite::Statement s(db,
                      "select number, back, forward from revisions "
                      "where job = ?1 and number = (select newest from jobs where id = ?1)");
  s.bind(1, job);
  if (s.executeStep())
    return Head{s.getColumn(0).getInt64(), s.getColumn(1).getInt64(), s.getColumn(2).getInt64()};
  return refuse("no-such-job", fmt::format("There is no job {}.", job), "Choose one of the list.");
}

namespace {

std::string fresh_id() {
  unsigned char bytes[8];
  randombytes_buf(bytes, sizeof bytes);
  std::string out;
  for (const unsigned char b : bytes) out += fmt::format("{:02x}", b);
  return out;
}

/// What no revision of ours has (a damaged file) counts as an edit.
How how_of(int number) {
  return number >= 0 && number <= static_cast<int>(How::back) ? static_cast<How>(number) : How::edit;
}

Revision read(SQLite::Statement& row) {
  return {row.getColumn("number").getInt64(), row.getColumn("text").getString(),
          row.getColumn("what").getString(),  row.getColumn("name").getString(),
          row.getColumn("at").getString(),    how_of(row.getColumn("how").getInt()),
          row.getColumn("back").getInt64(),   row.getColumn("forward").getInt64(),
          row.getColumn("mark").getString()};
}

///   fails  no-such-revision; store-damaged where the text isn't the one that was kept
Result<Revision> revision_of(SQLite::Database& db, const std::string& job, std::int64_t number) {
  SQLite::Statement s(db,
                      "select number, text, what, name, at, how, back, forward, mark, hash from revisions "
                      "where job = ? and number = ?");
  bind_all(s, 1, job, number);
  if (!s.executeStep())
    return refuse("no-such-revision", fmt::format("There is no revision {} of job {}.", number, job),
                  "Choose one of the list.");
  Revision out = read(s);
  if (s.getColumn("hash").getString() != text_hash(out.text)) {
    return refuse(
        "store-damaged",
        fmt::format("Revision {} of job {} is damaged: its text is not the one that was kept.", number, job),
        "Go back to another revision, or to a backup with `halfround jobs restore FILE`.");
  }
  return out;
}

Result<Revision> newest_of(SQLite::Database& db, const std::string& job) {
  const auto head = head_of(db, job);
  if (!head) return tl::unexpected(head.error());
  return revision_of(db, job, head->number);
}

void put(SQLite::Database& db, const std::string& job, const Revision& r) {
  run(db,
      "insert into revisions(job, number, text, what, at, how, back, forward, hash, mark) "
      "values(?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
      job, r.number, r.text, r.what, r.at, static_cast<int>(r.how), r.back, r.forward, text_hash(r.text),
      base::text_mark(r.text));
  run(db, "update jobs set newest = ?, changed = ? where id = ?", r.number, r.at, job);
}

void rename(SQLite::Database& db, const std::string& job, const std::string& name) {
  run(db, "update jobs set name = ? where id = ?", name, job);
}

tl::unexpected<Problem> stale(std::int64_t on) {
  return refuse("revision-stale", fmt::format("Revision {} is no longer the newest.", on),
                "Look at the newest one first.");
}

/// Another one has this name, or it as its id.
bool called_so(SQLite::Database& db, const std::string& name) {
  SQLite::Statement s(db, "select 1 from jobs where kind = 'job' and (name = ?1 or id = ?1)");
  s.bind(1, name);
  return s.executeStep();
}

}  // namespace

Store::Store(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}
Store::~Store() {
  in_->copies.reset();
}

Result<std::unique_ptr<Store>> Store::open(const std::string& folder, const OpenOptions& options) {
  base::check(sodium_init() >= 0, "the library for random numbers starts");
  auto inside = std::make_unique<Inside>();
  auto db = open_file(folder, options, inside->lock, inside->visit);
  if (!db) return tl::unexpected(db.error());
  inside->file = (*db)->getFilename();
  inside->db = std::move(*db);
  inside->noted = std::make_unique<NotedChanges>(fs::path(inside->file).parent_path());
  note_changes(*inside->db, *inside->noted);
  if (!options.visit) inside->copies = std::make_unique<CopyKeeper>(inside->file);
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
                                   const std::string& what, Kind kind, SameName same) {
  return written(*in_, [&](SQLite::Database& db) -> Result<std::string> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    if (same == SameName::refused && called_so(db, name))
      return refuse("name-taken", fmt::format("There is a job called {} already; it was left alone.", name),
                    "Give another name.");
    const std::string id = fresh_id(), at = now();
    run(db, "insert into jobs(id, name, newest, changed, kind) values(?, ?, 1, ?, ?)", id, name, at,
        kind == Kind::shop ? "shop" : "job");
    put(db, id, {1, text, what, "", at, how, 0, 0});
    all.commit();
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
    if (const auto there = head_of(db, job); !there) return tl::unexpected(there.error());
    SQLite::Statement s(db,
                        "select number, '' as text, what, name, at, how, back, forward, mark from revisions "
                        "indexed by revision_list where job = ? order by number desc limit ?");
    bind_all(s, 1, job, most);
    std::vector<Revision> out;
    while (s.executeStep()) out.push_back(read(s));
    return out;
  });
}

Result<std::int64_t> Store::add(const std::string& job, std::int64_t on, const std::string& text,
                                const std::string& name, const std::string& what, How how) {
  return written(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = head_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->number != on) return stale(on);
    put(db, job, {last->number + 1, text, what, "", now(), how, last->number, 0});
    rename(db, job, name);
    all.commit();
    return last->number + 1;
  });
}

Result<std::int64_t> Store::undo(const std::string& job, const NameOf& name_of) {
  return written(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = head_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->back == 0)
      return refuse("nothing-to-undo", "There is nothing to undo.", "This is how it began.");
    const auto was = revision_of(db, job, last->back);
    if (!was) return tl::unexpected(was.error());
    put(db, job, {last->number + 1, was->text, was->what, "", now(), How::undo, was->back, last->number});
    if (name_of) rename(db, job, name_of(was->text));
    all.commit();
    return last->number + 1;
  });
}

Result<std::int64_t> Store::redo(const std::string& job, const NameOf& name_of) {
  return written(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = head_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->forward == 0)
      return refuse("nothing-to-redo", "There is nothing to redo.", "Nothing was undone.");
    const auto then = revision_of(db, job, last->forward);
    if (!then) return tl::unexpected(then.error());
    put(db, job, {last->number + 1, then->text, then->what, "", now(), How::redo, then->back, then->forward});
    if (name_of) rename(db, job, name_of(then->text));
    all.commit();
    return last->number + 1;
  });
}

Result<std::int64_t> Store::back_to(const std::string& job, std::int64_t on, std::int64_t number,
                                    const std::string& name) {
  return written(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    SQLite::Transaction all(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto last = head_of(db, job);
    if (!last) return tl::unexpected(last.error());
    if (last->number != on) return stale(on);
    const auto then = revision_of(db, job, number);
    if (!then) return tl::unexpected(then.error());
    put(db, job,
        {last->number + 1, then->text, fmt::format("back to revision {}", number), "", now(), How::back,
         last->number, 0});
    rename(db, job, name);
    all.commit();
    return last->number + 1;
  });
}

Result<void> Store::name_newest(const std::string& job, const std::string& name) {
  return written(*in_, [&](SQLite::Database& db) -> Result<void> {
    const auto last = head_of(db, job);
    if (!last) return tl::unexpected(last.error());
    run(db, "update revisions set name = ? where job = ? and number = ?", name, job, last->number);
    return {};
  });
}

}  // namespace halfround::store
