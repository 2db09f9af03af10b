// Opening the file: sound, of a known version, alone, with a good copy beside it. Only this room sees this
// header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <memory>
#include <string>

#include "store/store.h"

namespace halfround::store {

/// What SQLite complained of, in our words.
///   in  file  its path
[[nodiscard]] base::Problem in_our_words(const SQLite::Exception& e, const std::string& file);

///   fails  as Store::open
[[nodiscard]] Result<std::unique_ptr<SQLite::Database>> open_file(const std::string& folder,
                                                                  const OpenOptions& options);

/// Writes the good copy anew; where that can't be done the old one stays.
void renew_copy(SQLite::Database& db);

}  // namespace halfround::store
