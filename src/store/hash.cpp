#include "store/hash.h"

#include <sodium.h>
#include <sqlite3.h>

#include "base/text_mark.h"

namespace halfround::store {

namespace {

/// What `of` says of the text that SQL gives.
template <std::string (*of)(std::string_view)>
void answered(sqlite3_context* context, int, sqlite3_value** value) {
  const auto* text = reinterpret_cast<const char*>(sqlite3_value_text(value[0]));
  const auto bytes = static_cast<std::size_t>(sqlite3_value_bytes(value[0]));
  const std::string out = of(text == nullptr ? "" : std::string_view(text, bytes));
  sqlite3_result_text(context, out.data(), static_cast<int>(out.size()), SQLITE_TRANSIENT);
}

}  // namespace

std::string text_hash(std::string_view text) {
  unsigned char hash[crypto_generichash_BYTES];
  crypto_generichash(hash, sizeof hash, reinterpret_cast<const unsigned char*>(text.data()), text.size(),
                     nullptr, 0);
  char hex[2 * sizeof hash + 1];
  return sodium_bin2hex(hex, sizeof hex, hash, sizeof hash);
}

void know_hash(SQLite::Database& db) {
  db.createFunction("text_hash", 1, true, nullptr, answered<text_hash>);
  db.createFunction("text_mark", 1, true, nullptr, answered<base::text_mark>);
}

}  // namespace halfround::store
