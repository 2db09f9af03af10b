// The good copies beside the store: "halfround-copy.db" and the one before it, "halfround-copy-2.db". A copy
// that has what the store lacks is never replaced. Only this room sees this header.
#pragma once

#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace halfround::store {

/// Both, where they are there, the newer first.
[[nodiscard]] std::vector<std::filesystem::path> copies_in(const std::filesystem::path& folder);
/// The newest that can be trusted; "" where none can.
[[nodiscard]] std::filesystem::path best_copy(const std::filesystem::path& folder);

/// What the store lacks of a copy that can be trusted: "revisions 3 to 7 of island mail"; "" where it has
/// all.
[[nodiscard]] std::string lacks_of_copies(const std::string& file);

/// Writes the good copy anew, where something changed since. The old one becomes the one before, if it was
/// sound. In steps, on a connection of its own: others go on meanwhile.
///   out  false where that can't be done; both stay as they are
bool renew_copy(const std::string& file);

/// Renews the copy on a thread of its own.
class CopyKeeper {
 public:
  explicit CopyKeeper(std::string file);
  /// A last time, where something changed.
  ~CopyKeeper();
  CopyKeeper(const CopyKeeper&) = delete;
  CopyKeeper& operator=(const CopyKeeper&) = delete;
  void changed();

 private:
  void run();

  std::string file_;
  std::mutex guard_;
  std::condition_variable news_;
  int changes_ = 0;  ///< since the last copy was begun
  bool over_ = false;
  std::thread thread_;
};

}  // namespace halfround::store
