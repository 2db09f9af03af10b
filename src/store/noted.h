// How many changes were accepted, noted beside the store ("halfround-changes"): a file that has fewer has
// lost some, even where no copy of it knows them. The store's own file without its -wal is such a one. Only
// this room sees this header.
#pragma once

#include <cstdint>
#include <filesystem>

namespace halfround::store {

inline constexpr const char* kNoted = "halfround-changes";

/// 0 where nothing is noted, or nothing that can be read.
[[nodiscard]] std::int64_t noted_in(const std::filesystem::path& folder);

/// Keeps the note. It outlives a kill; after a power cut it may be an older one, which accuses nobody.
class NotedChanges {
 public:
  explicit NotedChanges(const std::filesystem::path& folder);
  ~NotedChanges();
  NotedChanges(const NotedChanges&) = delete;
  NotedChanges& operator=(const NotedChanges&) = delete;
  /// What can't be noted is passed over: the change itself was accepted.
  void note(std::int64_t changes) const;

 private:
  int file_ = -1;
};

}  // namespace halfround::store
