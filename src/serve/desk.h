// All that can be done with the jobs and the shop, without a network: edits merged, saved and undone, texts
// solved. What
// is refused comes with the status an HTTP answer has. Safe to call from several threads.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "job/edit.h"
#include "serve/engine.h"
#include "store/store.h"

namespace halfround::serve {

struct Refusal {
  int status = 422;  ///< 404 no such thing, 409 somebody was quicker, 422 the builder's words, 507 no room
  base::Problems problems;
  std::int64_t revision = 0;  ///< with 409: the newest
};
template <class T>
using Done = tl::expected<T, Refusal>;

struct NewJob {
  std::string name;  ///< with toml: for a text that has no name of its own
  std::string from;  ///< id of the job to duplicate, or ""
  std::string toml;  ///< text to import, or ""
};

struct TextKind;  // merge.h

/// The answer for a problem of the store.
[[nodiscard]] Refusal refused(base::Problem problem);
/// What a device of the network is told of it: the store's own words name folders of this machine.
[[nodiscard]] base::Problem for_device(base::Problem problem);

class Desk {
 public:
  Desk(store::Store& store, Engine& engine) : store_(store), engine_(engine) {}

  /// On the first start there is one job: the example.
  [[nodiscard]] Done<void> first_job();
  [[nodiscard]] Done<std::string> add_job(const NewJob& wanted);

  /// Makes the edits on the newest revision and saves it.
  ///   in     base  the revision they were typed on; 0: the newest
  ///   out    the new revision; the newest where nothing changed
  ///   fails  409: one of the keys was changed since; 422: an edited key can't be read (a job
  ///          whose other keys have mistakes, or that makes no fork, is saved)
  [[nodiscard]] Done<std::int64_t> edit(const std::string& job, std::int64_t base,
                                        const std::vector<job::Edit>& edits);
  /// The text with the edits made; nothing is saved.
  [[nodiscard]] static Done<std::string> tried(const std::string& text, const std::vector<job::Edit>& edits);
  ///   in  base  0: whatever is newest
  [[nodiscard]] Done<std::int64_t> undo(const std::string& job, std::int64_t base);
  [[nodiscard]] Done<std::int64_t> redo(const std::string& job, std::int64_t base);
  /// The text of an older revision as a new one; undo leads back from there.
  ///   in   base  as above
  ///   out  the new revision; the newest where it has this text already
  [[nodiscard]] Done<std::int64_t> back_to(const std::string& job, std::int64_t base, std::int64_t revision);

  /// The ways to mend the newest text by its [done] keys (docs/replan.md), as JSON of
  /// docs/replan.schema.json.
  [[nodiscard]] Done<std::string> ways(const std::string& job);
  /// How the finished fork stands by the measuring plan's readings, as JSON of docs/stands.schema.json.
  ///   in  readings  "A=404.6" and so on, as `halfround stands` takes them
  [[nodiscard]] Done<std::string> stands(const std::string& job, const std::vector<std::string>& readings);
  /// Writes one of them into the job.
  ///   in  base  as above;  way  from 1, as listed
  [[nodiscard]] Done<std::int64_t> take_way(const std::string& job, std::int64_t base, std::int64_t way);

  /// Makes the engine reckon with the store's shop.
  ///   in     text, file  what it begins with where the store has none; with `take` it is saved over what is
  ///   there fails  422: that text has mistakes
  [[nodiscard]] Done<void> open_shop(const std::string& text, const std::string& file, bool take = false);
  [[nodiscard]] Done<store::Revision> shop();
  /// As a job's, but what would leave a mistake anywhere in the shop is refused.
  [[nodiscard]] Done<std::int64_t> edit_shop(std::int64_t base, const std::vector<job::Edit>& edits);
  [[nodiscard]] Done<std::int64_t> undo_shop(std::int64_t base);
  [[nodiscard]] Done<std::int64_t> redo_shop(std::int64_t base);

  [[nodiscard]] store::Store& store() { return store_; }
  [[nodiscard]] Engine& engine() { return engine_; }

 private:
  // all of these while writing_ is held
  [[nodiscard]] Done<store::Revision> not_since(const std::string& id, std::int64_t base);
  [[nodiscard]] Done<std::int64_t> edit_text(const TextKind& kind, const std::string& id, std::int64_t base,
                                             const std::vector<job::Edit>& edits);
  using Turn = base::Result<std::int64_t> (store::Store::*)(const std::string& id,
                                                            const store::Store::NameOf& name_of);
  [[nodiscard]] Done<std::int64_t> turn(const TextKind& kind, const std::string& id, std::int64_t base,
                                        Turn way);
  [[nodiscard]] Done<std::string> shop_id();
  [[nodiscard]] Done<void> renew_shop();
  [[nodiscard]] Done<std::int64_t> on_shop(
      const std::function<Done<std::int64_t>(const std::string& id)>& change);

  store::Store& store_;
  Engine& engine_;
  std::mutex writing_;  ///< from looking at the newest revision until the next one is saved
};

}  // namespace halfround::serve
