// The shop's log, ticked steps, paired devices and settings of a store.
#include "store/inside.h"

namespace halfround::store {

Result<void> Store::log(const std::string& job, const LogRow& row) {
  return written(*in_, [&](SQLite::Database& db) -> Result<void> {
    if (const auto there = head_of(db, job); !there) return tl::unexpected(there.error());
    run(db, "insert into log(job, at, who, what, key, typed) values(?, ?, ?, ?, ?, ?)", job, now(), row.who,
        row.what, row.key, row.typed);
    return {};
  });
}

Result<std::vector<LogRow>> Store::log_of(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::vector<LogRow>> {
    if (const auto there = head_of(db, job); !there) return tl::unexpected(there.error());
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
  return written(*in_, [&](SQLite::Database& db) -> Result<void> {
    if (const auto there = head_of(db, job); !there) return tl::unexpected(there.error());
    run(db, "insert or replace into ticks(job, step, done, who, at) values(?, ?, ?, ?, ?)", job, tick.step,
        tick.done ? 1 : 0, tick.who, now());
    return {};
  });
}

Result<std::vector<Tick>> Store::ticks_of(const std::string& job) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<std::vector<Tick>> {
    if (const auto there = head_of(db, job); !there) return tl::unexpected(there.error());
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
  return written(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
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
  return written(*in_, [&](SQLite::Database& db) -> Result<void> {
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
  return written(*in_, [&](SQLite::Database& db) -> Result<void> {
    run(db, "insert or replace into settings(name, value) values(?, ?)", name, value);
    return {};
  });
}

}  // namespace halfround::store
