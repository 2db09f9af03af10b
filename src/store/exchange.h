// Another file in the place of the store's own. Killed anywhere, the folder has the old store or the new one:
// what was begun is done by the next who opens it. What was there before lies in "aside-1", "aside-2", ...,
// each a data folder of its own. Only this room sees this header.
#pragma once

#include <filesystem>

namespace halfround::store {

/// What becomes of the good copies.
enum class Copies { stay, go_aside };

/// Puts a file (and what SQLite keeps beside it) in the store's place. Paired devices are not taken over: one
/// that was withdrawn since would be back. The folder is locked, serving and visiting; nobody has the store
/// open.
///   in  from  a sound store; it is left as it is
///   out  the folder of what was there before; "" where nothing was
///   throws SQLite::Exception, fs::filesystem_error: nothing was changed
std::filesystem::path exchange(const std::filesystem::path& folder, const std::filesystem::path& from,
                               Copies copies);

/// One was begun and is not finished.
[[nodiscard]] bool exchange_begun(const std::filesystem::path& folder);
std::filesystem::path finish_exchange(const std::filesystem::path& folder);

inline constexpr const char* kLookedAt = "restore.new";  ///< where a file is looked at before it is put back

/// What killed programs left behind.
void clear_leftovers(const std::filesystem::path& folder);

}  // namespace halfround::store
