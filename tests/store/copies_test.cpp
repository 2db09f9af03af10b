// The good copies: never replaced by something worse, made of every kind of change, private, in nobody's way.
#include "store/copies.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/stat.h>

#include <atomic>
#include <chrono>
#include <thread>

#include "store/folder.h"

namespace halfround::store {
namespace {

class CopiesTest : public StoreTest {
 protected:
  /// A job with some revisions, saved and copied.
  void begin(int revisions = 3) {
    auto store = open();
    id_ = *store->add_job("first", "text 1", How::start, "begun");
    for (int n = 1; n < revisions; ++n)
      ASSERT_TRUE(store->add(id_, n, "text " + std::to_string(n + 1), "first", "an edit"));
  }
  [[nodiscard]] std::string copy() const { return bytes_of(folder_ / "halfround-copy.db"); }
  void expect_refused(const std::string& code, const std::string& words) const {
    const std::string before = copy();
    for (int start = 0; start < 2; ++start) {
      const auto refused = Store::open(folder_);
      ASSERT_FALSE(refused);
      EXPECT_EQ(refused.error().code, code);
      EXPECT_NE(base::sentence(refused.error()).find(words), std::string::npos)
          << base::sentence(refused.error());
      EXPECT_NE(refused.error().fits.find("--take-copy"), std::string::npos) << refused.error().fits;
    }
    EXPECT_TRUE(copy() == before) << "the copy was replaced";
  }
  /// The file alone, as somebody's copying program took it while the server ran.
  void leave_only_the_file(const fs::path& from) const {
    const std::string db = bytes_of(from / "halfround.db");
    for (const char* end : {"-wal", "-shm"}) fs::remove(folder_ / (std::string("halfround.db") + end));
    std::ofstream(folder_ / "halfround.db", std::ios::binary | std::ios::trunc) << db;
  }
  std::string id_;
};

TEST_F(CopiesTest, WithTheWalGoneTheCopyIsNotOverwrittenByAnEmptyStore) {
  begin();
  // a file whose tables were in the WAL only, as older programs left it until the first checkpoint
  fs::remove(folder_ / "halfround.db");
  SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
      .exec("pragma journal_mode = wal; vacuum");
  expect_refused("store-damaged", "has no jobs in it");
  EXPECT_EQ(Store::open(folder_, {.visit = true}).error().code, "store-damaged");
  auto store = open({.take_copy = true});
  EXPECT_EQ(text_of(*store, id_), "text 3");
}

TEST_F(CopiesTest, ANewStoreHasItsTablesInItsOwnFileAtOnce) {
  auto store = open();
  leave_only_the_file(folder_);
  SQLite::Database file((folder_ / "halfround.db").string());
  EXPECT_EQ(file.execAndGet("select count(*) from jobs").getInt(), 0);
}

TEST_F(CopiesTest, AnOlderFilePutBackAloneIsNotTakenForTheWholeStore) {
  begin(3);
  const std::string older = bytes_of(folder_ / "halfround.db");
  {
    auto store = open();
    ASSERT_TRUE(store->add(id_, 3, "text 4", "first", "an edit"));
    ASSERT_TRUE(store->add(id_, 4, "text 5", "first", "an edit"));
  }
  std::ofstream(folder_ / "halfround.db", std::ios::binary | std::ios::trunc) << older;
  expect_refused("store-behind", "revisions 4 to 5 of first");
  auto store = open({.take_copy = true});
  EXPECT_EQ(text_of(*store, id_), "text 5");
  EXPECT_TRUE(bytes_of(folder_ / "aside-1" / "halfround.db") == older);
}

TEST_F(CopiesTest, WhatNoCopyKnowsIsMissedTooWhenTheWalIsGone) {
  begin(3);
  const fs::path killed = folder_.string() + "-killed";
  fs::remove_all(killed);
  {
    auto store = open();
    for (int n = 3; n < 8; ++n) ASSERT_TRUE(store->add(id_, n, "text", "first", "an edit"));
    fs::copy(folder_, killed, fs::copy_options::recursive);  // as a kill leaves it
  }
  fs::remove_all(folder_);
  fs::copy(killed, folder_, fs::copy_options::recursive);
  const std::string wal = bytes_of(folder_ / "halfround.db-wal");
  ASSERT_FALSE(wal.empty());
  for (const char* end : {"-wal", "-shm"}) fs::remove(folder_ / (std::string("halfround.db") + end));
  for (const bool visit : {false, true, false}) {
    const auto refused = Store::open(folder_, {.visit = visit});
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, "store-behind");
    EXPECT_NE(refused.error().what.find("lacks 5 changes"), std::string::npos) << refused.error().what;
  }
  std::ofstream(folder_ / "halfround.db-wal", std::ios::binary) << wal;
  {
    auto store = open();
    ASSERT_TRUE(store);
    EXPECT_EQ(store->newest(id_)->number, 8);
  }
  // or one goes on without them, knowing
  fs::remove_all(folder_);
  fs::copy(killed, folder_, fs::copy_options::recursive);
  for (const char* end : {"-wal", "-shm"}) fs::remove(folder_ / (std::string("halfround.db") + end));
  fs::rename(folder_ / "halfround-changes", folder_ / "noted-by-me");
  EXPECT_EQ(open()->newest(id_)->number, 3);
  fs::remove_all(killed);
}

TEST_F(CopiesTest, AFileThatIsGoneIsMissedWhereNoCopyIsLeftEither) {
  begin();
  for (const char* name : {"halfround.db", "halfround-copy.db", "halfround-copy-2.db"})
    fs::remove(folder_ / name);
  const auto refused = Store::open(folder_);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "store-damaged");
  EXPECT_NE(refused.error().what.find("gone"), std::string::npos);
  EXPECT_FALSE(fs::exists(folder_ / "halfround.db"));
  fs::remove(folder_ / "halfround-changes");
  EXPECT_TRUE(open()->jobs()->empty());
}

TEST_F(CopiesTest, AJobThatIsOnlyInTheCopyOrWentAnotherWayThereIsSaid) {
  begin(3);
  const std::string older = bytes_of(folder_ / "halfround.db");
  { ASSERT_TRUE(open()->add_job("second", "b", How::start, "begun")); }
  const auto put_back = [&] {
    fs::remove(folder_ / "halfround-changes");
    std::ofstream(folder_ / "halfround.db", std::ios::binary | std::ios::trunc) << older;
  };
  put_back();
  expect_refused("store-behind", "the job second");
  fs::rename(folder_ / "halfround-copy-2.db", folder_ / "halfround-copy.db");
  { ASSERT_TRUE(open()->add(id_, 3, "her way", "first", "an edit")); }
  put_back();
  const std::string copy = bytes_of(folder_ / "halfround-copy.db");
  fs::remove(folder_ / "halfround-copy.db");
  { ASSERT_TRUE(open()->add(id_, 3, "my way", "first", "an edit")); }
  std::ofstream(folder_ / "halfround-copy.db", std::ios::binary | std::ios::trunc) << copy;
  expect_refused("store-behind", "revision 4 of first as it is there");
}

TEST_F(CopiesTest, LogTicksUndoNamesAndSettingsAreCopiedToo) {
  begin(3);
  const std::vector<std::function<void(Store&)>> changes{
      [&](Store& s) { ASSERT_TRUE(s.undo(id_)); },
      [&](Store& s) { ASSERT_TRUE(s.redo(id_)); },
      [&](Store& s) { ASSERT_TRUE(s.name_newest(id_, "as drawn")); },
      [&](Store& s) {
        ASSERT_TRUE(s.log(id_, {"", "I", "measured", "hub.axle", "12"}));
      },
      [&](Store& s) {
        ASSERT_TRUE(s.tick(id_, {"cut", "I", "", true}));
      },
      [&](Store& s) { ASSERT_TRUE(s.set("printer", "99.8")); },
      [&](Store& s) { ASSERT_TRUE(s.add_device("hash", "phone")); },
      [&](Store& s) { ASSERT_TRUE(s.withdraw_device(1)); },
      [&](Store& s) { ASSERT_TRUE(s.back_to(id_, 5, 1, "first")); },
  };
  for (std::size_t i = 0; i < changes.size(); ++i) {
    const std::string before = copy();
    changes[i](*open());
    EXPECT_FALSE(copy() == before) << i;
    EXPECT_TRUE(bytes_of(folder_ / "halfround-copy-2.db") == before) << i;
    // and none of them may be lost: the file of before the change is refused
    const std::string now = bytes_of(folder_ / "halfround.db");
    fs::create_directories(folder_ / "x");
    std::ofstream(folder_ / "halfround.db", std::ios::binary | std::ios::trunc) << before;
    EXPECT_FALSE(Store::open(folder_)) << i;
    std::ofstream(folder_ / "halfround.db", std::ios::binary | std::ios::trunc) << now;
  }
  const std::string before = copy();
  { ASSERT_TRUE(open()); }
  EXPECT_TRUE(copy() == before) << "nothing changed";
}

TEST_F(CopiesTest, ADamagedCopyIsReplacedAndTheSoundOneBeforeStays) {
  begin(3);
  { ASSERT_TRUE(open()->add(id_, 3, "text 4", "first", "an edit")); }
  const std::string older = bytes_of(folder_ / "halfround-copy-2.db");
  ASSERT_FALSE(older.empty());
  std::fstream(folder_ / "halfround-copy.db", std::ios::in | std::ios::out | std::ios::binary)
      << std::string(9000, 'x');
  spoil(4096);
  {
    // both are damaged: the one before is offered and taken
    const auto refused = Store::open(folder_);
    ASSERT_FALSE(refused);
    EXPECT_NE(refused.error().fits.find("halfround-copy-2.db"), std::string::npos) << refused.error().fits;
    auto store = open({.take_copy = true});
    EXPECT_EQ(text_of(*store, id_), "text 3");
  }
  EXPECT_TRUE(bytes_of(folder_ / "halfround-copy-2.db") == older);
  auto db = SQLite::Database((folder_ / "halfround-copy.db").string());
  EXPECT_EQ(db.execAndGet("select max(number) from revisions").getInt(), 3);
}

TEST_F(CopiesTest, ATextThatIsNotTheOneKeptDoesNotGetIntoTheCopy) {
  begin(3);
  const std::string before = copy();
  {
    auto store = open();
    ASSERT_TRUE(store->add(id_, 3, "text 4", "first", "an edit"));
    SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE)
        .exec("update revisions set text = 'other' where number = 2");
  }
  EXPECT_TRUE(copy() == before);
}

TEST_F(CopiesTest, AWithdrawnDeviceDoesNotComeBackWithTheCopy) {
  begin();
  {
    auto store = open();
    ASSERT_TRUE(store->add_device("hash", "phone"));
  }
  spoil(0);
  auto store = open({.take_copy = true});
  EXPECT_TRUE(store->devices()->empty());
}

TEST_F(CopiesTest, NobodyElseOnThisMachineMayReadIt) {
  for (const mode_t mask : {0000, 0022, 0077, 0777}) {
    fs::remove_all(folder_);
    const mode_t before = ::umask(mask);
    {
      auto store = open();
      ASSERT_TRUE(store);
      id_ = *store->add_job("first", "a", How::start, "begun");
      for (const auto& entry : fs::directory_iterator(folder_))
        EXPECT_EQ(fs::status(entry).permissions(), fs::perms::owner_read | fs::perms::owner_write)
            << entry.path();
    }
    ::umask(before);
    EXPECT_EQ(fs::status(folder_).permissions(), fs::perms::owner_all) << std::oct << mask;
    EXPECT_EQ(fs::status(folder_ / "halfround-copy.db").permissions(),
              fs::perms::owner_read | fs::perms::owner_write);
    // what an older version left open to all is closed
    for (const char* name : {"halfround.db", "halfround-copy.db"})
      fs::permissions(folder_ / name, static_cast<fs::perms>(0644));
    fs::permissions(folder_, static_cast<fs::perms>(0755));
    {
      auto store = open();
      ASSERT_TRUE(store->add(id_, 1, "b", "first", "an edit"));
    }
    EXPECT_EQ(fs::status(folder_).permissions(), fs::perms::owner_all);
    for (const auto& entry : fs::directory_iterator(folder_))
      EXPECT_EQ(fs::status(entry).permissions(), fs::perms::owner_read | fs::perms::owner_write)
          << entry.path();
  }
}

TEST_F(CopiesTest, AFolderThatManyShareKeepsItsRights) {
  fs::create_directories(folder_);
  fs::permissions(folder_, static_cast<fs::perms>(01777));
  { ASSERT_TRUE(open()); }
  EXPECT_EQ(fs::status(folder_).permissions(), static_cast<fs::perms>(01777));
}

TEST_F(CopiesTest, WhileACopyIsMadeEditsGoOn) {
  {
    auto store = open();
    id_ = *store->add_job("first", "a", How::start, "begun");
    for (int n = 1; n <= 120; ++n)  // 12 MB
      ASSERT_TRUE(
          store->add(id_, n, std::string(100'000, static_cast<char>('a' + n % 26)), "first", "an edit"));
    fs::remove(folder_ / "halfround-copy.db");
  }
  auto store = open();
  const std::string file = (folder_ / "halfround.db").string();
  std::atomic<bool> over = false;
  double slowest = 0;
  int edits = 0;
  ASSERT_TRUE(store->add(id_, 121, "b", "first", "an edit"));
  std::thread copying([&] {
    EXPECT_TRUE(renew_copy(file));
    over = true;
  });
  while (!over) {
    const auto start = std::chrono::steady_clock::now();
    ASSERT_TRUE(store->add(id_, 122 + edits, std::to_string(edits), "first", "an edit"));
    slowest =
        std::max(slowest, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    ++edits;
  }
  copying.join();
  EXPECT_GT(edits, 0);
  std::cout << edits << " edits while 12 MB were copied, the slowest " << slowest * 1000 << " ms\n";
}

}  // namespace
}  // namespace halfround::store
