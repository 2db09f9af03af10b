#include "store/exchange.h"

#include <fmt/format.h>

#include "store/file.h"
#include "store/noted.h"

namespace halfround::store {

namespace {

constexpr const char* kPreparing = "exchange.new";  // nothing depends on it yet
constexpr const char* kBegun = "exchange";          // from the moment it is called so, it is done to its end
constexpr const char* kNew = "new.db";
constexpr const char* kCopiesToo = "copies-too";

/// The file alone, without what another place let in.
void prepare(const fs::path& from, const fs::path& to) {
  for (const char* end : kEnds) {
    if (std::string(end) == "-shm" || !fs::exists(from.string() + end)) continue;
    make_private(to.string() + end);
    fs::copy_file(from.string() + end, to.string() + end, fs::copy_options::overwrite_existing);
  }
  {
    SQLite::Database db(to.string(), SQLite::OPEN_READWRITE);
    db.exec("pragma journal_mode = delete");
    db.exec("delete from tokens");
  }
  make_sure_of(to);
}

}  // namespace

bool exchange_begun(const fs::path& folder) {
  return fs::exists(folder / kBegun);
}

void clear_leftovers(const fs::path& folder) {
  for (const char* what : {kPreparing, kLookedAt}) fs::remove_all(folder / what);
  fs::remove(folder / (std::string(kCopy) + ".new"));
}

fs::path exchange(const fs::path& folder, const fs::path& from, Copies copies) {
  const fs::path preparing = folder / kPreparing;
  try {
    fs::remove_all(preparing);
    make_private_folder(preparing);
    prepare(from, preparing / kNew);
    if (copies == Copies::go_aside) make_private(preparing / kCopiesToo);
    make_sure_of(preparing);
  } catch (...) {
    std::error_code ignored;
    fs::remove_all(preparing, ignored);
    throw;
  }
  fs::rename(preparing, folder / kBegun);
  make_sure_of(folder);
  return finish_exchange(folder);
}

fs::path finish_exchange(const fs::path& folder) {
  const fs::path begun = folder / kBegun, file = folder / kFile;
  const auto aside = [&](const fs::path& what) {
    if (fs::exists(what)) fs::rename(what, begun / what.filename());
  };
  if (fs::exists(begun / kNew)) {
    // in this order: while halfround.db is there, the step that moves it is still to come
    if (fs::exists(begun / kCopiesToo))
      for (const char* copy : {kOlderCopy, kCopy}) aside(folder / copy);
    aside(folder / kNoted);  // it speaks of the file that goes
    for (const char* end : kEnds) aside(file.string() + end);
    fs::rename(begun / kNew, file);
  }
  fs::remove(begun / kCopiesToo);
  fs::path out;
  if (fs::is_empty(begun)) {
    fs::remove(begun);
  } else {
    int n = 1;
    while (fs::exists(folder / fmt::format("aside-{}", n))) ++n;
    out = folder / fmt::format("aside-{}", n);
    fs::rename(begun, out);
  }
  make_sure_of(folder);
  return out;
}

}  // namespace halfround::store
