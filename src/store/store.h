// The builder's jobs and the shop in one file: texts with their history, the shop's log, ticked steps, paired
// devices.
// Every call is whole or not at all, and on the disk when it returns. Times are UTC, "2026-11-26T09:30:00Z".
// Safe to call from several threads.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace halfround::store {

using base::Result;

inline constexpr int kVersion = 5;  ///< of the file's tables; an older file is brought up to it when opened

struct JobRow {
  std::string id, name;
  std::int64_t revision = 0;  ///< the newest
  std::string changed;
};

/// Whose text it is. There is one shop at most; it is kept as a job is, but isn't among the jobs.
enum class Kind { job, shop };

/// How a revision came about; kept as its number, so new ones are added at the end.
enum class How { start, edit, undo, redo, import, back };

/// Whether a new job may be called as another one is.
enum class SameName { allowed, refused };

/// A job as it stood. Numbers only grow: undo makes a new revision with the text of an older one. A text is
/// kept with its hash, and one that doesn't match it is never handed out.
struct Revision {
  std::int64_t number = 0;  ///< from 1
  std::string text;
  std::string what;  ///< what was done, in words
  std::string name;  ///< the builder's own, or ""
  std::string at;
  How how = How::edit;
  std::int64_t back = 0;     ///< whose text undo brings back; 0: nothing to undo
  std::int64_t forward = 0;  ///< whose text redo brings back; 0: nothing to redo
  std::string mark{};        ///< of its text (base/text_mark.h), by which a sheet names it
};

struct LogRow {
  std::string at, who, what, key, typed;
};

struct Tick {
  std::string step, who, at;
  bool done = false;
};

/// A device that was paired. Its token is not kept, only the token's hash.
struct Device {
  std::int64_t id = 0;
  std::string hash;
  std::string name;        ///< the builder's own, or ""
  std::string kind;        ///< "phone", "tablet", "computer"; "" until it first came
  std::string made, seen;  ///< seen: "" until it first came
  std::string gone;        ///< "withdrawn", "unused"; "": it may come in
};

struct OpenOptions {
  bool take_copy = false;  ///< a damaged file is put aside and the last good copy opened instead
  bool visit = false;      ///< beside a server that may run: the file is neither checked nor copied
};

class Store {
 public:
  /// Opens, checks and brings up to date "halfround.db" in a folder, both made if missing, for this user
  /// only; a sound file is copied (store/copies.h) now, every 500 changes, some minutes after a change, and
  /// at the end. One a folder, but for visits.
  ///   fails  store-unwritable, store-damaged (the file is left as it is), store-behind (its copy has what it
  ///   lacks), store-newer, store-busy (another one is open)
  [[nodiscard]] static Result<std::unique_ptr<Store>> open(const std::string& folder,
                                                           const OpenOptions& options = {});
  ~Store();
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  // every call below fails with store-unwritable; those with a job with no-such-job too; those that give a
  // text with store-damaged where it isn't the one that was kept
  [[nodiscard]] Result<std::vector<JobRow>> jobs();
  ///   fails  name-taken, where the same name is refused
  [[nodiscard]] Result<std::string> add_job(const std::string& name, const std::string& text, How how,
                                            const std::string& what, Kind kind = Kind::job,
                                            SameName same = SameName::allowed);
  /// The shop's id, for the calls that want a job's; "" where there is none yet.
  [[nodiscard]] Result<std::string> shop();
  [[nodiscard]] Result<Revision> newest(const std::string& job);
  ///   fails  no-such-revision
  [[nodiscard]] Result<Revision> revision(const std::string& job, std::int64_t number);
  /// Without their texts, which are not even read; newest first, at most `most`.
  [[nodiscard]] Result<std::vector<Revision>> revisions(const std::string& job, int most = 500);

  /// A new newest revision.
  ///   in     on  the revision it was made on
  ///   fails  revision-stale: `on` is no longer the newest
  [[nodiscard]] Result<std::int64_t> add(const std::string& job, std::int64_t on, const std::string& text,
                                         const std::string& name, const std::string& what,
                                         How how = How::edit);
  /// What a job is called by its text.
  using NameOf = std::function<std::string(const std::string& text)>;
  ///   in     name_of  for the list of jobs; where it isn't given the name stays
  ///   fails  nothing-to-undo, nothing-to-redo
  [[nodiscard]] Result<std::int64_t> undo(const std::string& job, const NameOf& name_of = {});
  [[nodiscard]] Result<std::int64_t> redo(const std::string& job, const NameOf& name_of = {});
  /// The text of any revision as a new newest one; undo leads back from there.
  ///   in     on, name  as with add
  ///   fails  revision-stale, no-such-revision
  [[nodiscard]] Result<std::int64_t> back_to(const std::string& job, std::int64_t on, std::int64_t number,
                                             const std::string& name);
  [[nodiscard]] Result<void> name_newest(const std::string& job, const std::string& name);

  [[nodiscard]] Result<void> log(const std::string& job, const LogRow& row);
  [[nodiscard]] Result<std::vector<LogRow>> log_of(const std::string& job);
  [[nodiscard]] Result<void> tick(const std::string& job, const Tick& tick);
  [[nodiscard]] Result<std::vector<Tick>> ticks_of(const std::string& job);

  [[nodiscard]] Result<std::int64_t> add_device(const std::string& hash, const std::string& name);
  /// All that ever were, so that one that was withdrawn can be told so; the newest first.
  [[nodiscard]] Result<std::vector<Device>> devices();
  /// It came in just now.
  [[nodiscard]] Result<void> device_seen(std::int64_t id, const std::string& kind);
  /// Withdraws one; 0: all.
  ///   out    how many may no longer come in that could until now
  [[nodiscard]] Result<int> withdraw_device(std::int64_t id);
  /// Ends the pairings that nobody used for so long.
  [[nodiscard]] Result<int> withdraw_unused(std::chrono::seconds unused);

  /// One value under a name; "" where there is none.
  [[nodiscard]] Result<std::string> setting(const std::string& name);
  [[nodiscard]] Result<void> set(const std::string& name, const std::string& value);

 private:
  struct Inside;
  explicit Store(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> in_;
};

}  // namespace halfround::store
