// A hash for each text, so that a text that changed on the disk is noticed. Only this room sees this header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <string>
#include <string_view>

namespace halfround::store {

/// BLAKE2b of 256 bits, 64 hex digits.
[[nodiscard]] std::string text_hash(std::string_view text);

/// From here on `text_hash(text)` and `text_mark(text)` can be asked in this connection's SQL.
void know_hash(SQLite::Database& db);

}  // namespace halfround::store
