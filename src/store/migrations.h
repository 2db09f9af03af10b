// The tables, and the way from each older version to the next. Only this room sees this header.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

namespace halfround::store {

/// Brings an open file up to kVersion in one transaction.
///   in  version  the file's own, 0 for a new one
void migrate(SQLite::Database& db, int version);

}  // namespace halfround::store
