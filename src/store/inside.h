// What a Store holds, and how its calls reach the file. Only this room sees this header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <chrono>
#include <cstdint>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "store/copies.h"
#include "store/folder_lock.h"
#include "store/noted.h"
#include "store/open.h"
#include "store/store.h"

namespace halfround::store {

struct Store::Inside {
  FolderLock lock;   ///< let go after the file is closed
  FolderLock visit;  ///< likewise
  std::unique_ptr<SQLite::Database> db;
  std::string file;
  std::mutex one_at_a_time;
  std::unique_ptr<CopyKeeper> copies;  ///< none while visiting
  std::unique_ptr<NotedChanges> noted;
};

/// UTC: "2026-11-26T09:30:00Z"
[[nodiscard]] std::string words_of(std::chrono::system_clock::time_point time);
[[nodiscard]] std::string now();

inline tl::unexpected<base::Problem> refuse(const char* code, std::string what, const char* fits) {
  return tl::unexpected(base::Problem{code, {}, std::move(what), fits});
}

inline void bind_all(SQLite::Statement&, int) {}
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

/// How many changes there are now; what was accepted is not refused because that can't be noted.
void note_changes(SQLite::Database& db, const NotedChanges& noted);

/// The same for work that writes: what it did is noted, and copied in time.
template <class Work>
auto written(auto& in, const Work& work) -> decltype(work(*in.db)) {
  auto out = alone(in, [&](SQLite::Database& db) {
    auto done = work(db);
    if (done) note_changes(db, *in.noted);
    return done;
  });
  if (out && in.copies) in.copies->changed();
  return out;
}

/// The newest revision of a job without its text.
struct Head {
  std::int64_t number = 0, back = 0, forward = 0;
};
///   fails  no-such-job
[[nodiscard]] Result<Head> head_of(SQLite::Database& db, const std::string& job);

}  // namespace halfround::store
