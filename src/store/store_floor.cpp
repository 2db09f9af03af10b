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

Result<std::int64_t> Store::add_device(const std::string& hash, const std::string& name) {
  return written(*in_, [&](SQLite::Database& db) -> Result<std::int64_t> {
    run(db, "insert into tokens(hash, made, name) values(?, ?, ?)", hash, now(), name);
    return db.getLastInsertRowid();
  });
}

Result<std::vector<Device>> Store::devices() {
  return alone(*in_, [](SQLite::Database& db) -> Result<std::vector<Device>> {
    SQLite::Statement s(db, "select id, hash, name, kind, made, seen, gone from tokens order by id desc");
    std::vector<Device> out;
    while (s.executeStep())
      out.push_back({s.getColumn(0).getInt64(), s.getColumn(1).getString(), s.getColumn(2).getString(),
                     s.getColumn(3).getString(), s.getColumn(4).getString(), s.getColumn(5).getString(),
                     s.getColumn(6).getString()});
    return out;
  });
}

Result<void> Store::device_seen(std::int64_t id, const std::string& kind) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<void> {
    run(db, "update tokens set seen = ?, kind = ? where id = ?", now(), kind, id);
    return {};
  });
}

Result<int> Store::withdraw_device(std::int64_t id) {
  return written(*in_, [&](SQLite::Database& db) -> Result<int> {
    SQLite::Statement s(db, "update tokens set gone = 'withdrawn' where gone = '' and (id = ?1 or ?1 = 0)");
    s.bind(1, id);
    return s.exec();
  });
}

Result<int> Store::withdraw_unused(std::chrono::seconds unused) {
  return alone(*in_, [&](SQLite::Database& db) -> Result<int> {
    SQLite::Statement s(db, "update tokens set gone = 'unused' where gone = '' and max(made, seen) < ?");
    s.bind(1, words_of(std::chrono::system_clock::now() - unused));
    return s.exec();
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
