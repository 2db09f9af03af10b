// Jobs with their history in one file: what was saved is there again, undo outlives a restart, a damaged file
// is refused and kept.
#include "store/store.h"

#include <SQLiteCpp/SQLiteCpp.h>

#include <atomic>
#include <thread>

#include "base/text_mark.h"
#include "store/folder.h"

namespace halfround::store {
namespace {

TEST_F(StoreTest, UndoAndRedoOutliveARestart) {
  std::string id;
  {
    auto store = open();
    id = *store->add_job("first", "a", How::start, "begun");
    EXPECT_EQ(*store->add(id, 1, "b", "first", "a to b"), 2);
    EXPECT_EQ(*store->add(id, 2, "c", "second", "b to c"), 3);
    EXPECT_EQ(*store->undo(id), 4);
    EXPECT_EQ(text_of(*store, id), "b");
  }
  auto store = open();
  EXPECT_EQ(*store->undo(id), 5);
  EXPECT_EQ(text_of(*store, id), "a");
  EXPECT_EQ(store->undo(id).error().code, "nothing-to-undo");
  EXPECT_EQ(*store->redo(id), 6);
  EXPECT_EQ(store->newest(id)->what, "a to b");
  EXPECT_EQ(*store->redo(id), 7);
  EXPECT_EQ(text_of(*store, id), "c");
  EXPECT_EQ(store->redo(id).error().code, "nothing-to-redo");
  EXPECT_EQ(*store->undo(id), 8);
  // an edit after an undo: what was undone can't be redone, but it is still in the history
  EXPECT_EQ(*store->add(id, 8, "d", "second", "b to d"), 9);
  EXPECT_EQ(store->redo(id).error().code, "nothing-to-redo");
  EXPECT_EQ(store->revision(id, 3)->text, "c");
  EXPECT_EQ(store->revisions(id)->size(), 9U);
}

TEST_F(StoreTest, AnEditOnAnOldRevisionIsRefused) {
  auto store = open();
  const std::string id = *store->add_job("first", "a", How::start, "begun");
  ASSERT_TRUE(store->add(id, 1, "b", "first", ""));
  EXPECT_EQ(store->add(id, 1, "c", "first", "").error().code, "revision-stale");
  EXPECT_EQ(store->add("nobody", 1, "c", "first", "").error().code, "no-such-job");
  EXPECT_EQ(store->revision(id, 7).error().code, "no-such-revision");
  EXPECT_EQ(text_of(*store, id), "b");
}

TEST_F(StoreTest, TicksLogNamesAndSettingsAreKept) {
  std::string id;
  {
    auto store = open();
    id = *store->add_job("first", "a", How::import, "imported");
    ASSERT_TRUE(store->tick(id, {"cut blade.left upper", "at the mill", "", true}));
    ASSERT_TRUE(store->log(id, {"", "I", "measured", "hub.over_locknut", "100.2"}));
    ASSERT_TRUE(store->name_newest(id, "as drawn"));
    ASSERT_TRUE(store->set("printer", "99.8"));
  }
  auto store = open();
  EXPECT_TRUE(store->ticks_of(id)->front().done);
  ASSERT_TRUE(store->tick(id, {"cut blade.left upper", "I", "", false}));
  EXPECT_FALSE(store->ticks_of(id)->front().done);
  EXPECT_EQ(store->log_of(id)->front().typed, "100.2");
  EXPECT_EQ(store->newest(id)->name, "as drawn");
  EXPECT_EQ(*store->setting("printer"), "99.8");
  EXPECT_EQ(*store->setting("nothing"), "");
}

TEST_F(StoreTest, ADeviceIsListedUntilItIsWithdrawnOrUnusedForLong) {
  auto store = open();
  const auto first = store->add_device("hash", "at the mill"), second = store->add_device("other", "");
  ASSERT_TRUE(store->device_seen(*first, "phone"));
  auto devices = *store->devices();
  ASSERT_EQ(devices.size(), 2U);
  EXPECT_EQ(devices[1].id, *first);
  EXPECT_EQ(devices[1].hash, "hash");
  EXPECT_EQ(devices[1].name, "at the mill");
  EXPECT_EQ(devices[1].kind, "phone");
  EXPECT_EQ(devices[1].seen.size(), 20U);
  EXPECT_EQ(devices[0].seen, "");
  EXPECT_EQ(*store->withdraw_unused(std::chrono::hours(1)), 0);
  EXPECT_EQ(*store->withdraw_device(*second), 1);
  EXPECT_EQ(*store->withdraw_device(*second), 0);
  EXPECT_EQ(store->devices()->front().gone, "withdrawn");
  EXPECT_EQ(store->devices()->back().gone, "");
  EXPECT_EQ(*store->withdraw_unused(std::chrono::seconds(-5)), 1);
  EXPECT_EQ(store->devices()->back().gone, "unused");
  ASSERT_TRUE(store->add_device("third", ""));
  EXPECT_EQ(*store->withdraw_device(0), 1);
}

TEST_F(StoreTest, ADamagedFileIsRefusedKeptAndTheCopyOffered) {
  std::string id;
  {
    auto store = open();
    id = *store->add_job("first", std::string(20'000, 'a'), How::start, "begun");
  }
  spoil(4096);
  const auto bytes = fs::file_size(folder_ / "halfround.db");
  const auto refused = Store::open(folder_);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "store-damaged");
  EXPECT_NE(refused.error().fits.find("--take-copy"), std::string::npos);
  EXPECT_EQ(fs::file_size(folder_ / "halfround.db"), bytes);
  auto store = open({.take_copy = true});
  ASSERT_TRUE(store);
  EXPECT_EQ(text_of(*store, id).size(), 20'000U);
  EXPECT_TRUE(fs::exists(folder_ / "aside-1" / "halfround.db"));
}

TEST_F(StoreTest, WhereOnlyTheCopyIsLeftNoNewStoreTakesItsPlace) {
  std::string id;
  {
    auto store = open();
    id = *store->add_job("first", "a", How::start, "begun");
  }
  for (const bool empty : {false, true}) {
    fs::remove(folder_ / "halfround.db");
    if (empty) std::ofstream(folder_ / "halfround.db");
    for (const bool visit : {false, true}) {
      const auto refused = Store::open(folder_, {.visit = visit});
      ASSERT_FALSE(refused);
      EXPECT_EQ(refused.error().code, "store-damaged");
      EXPECT_NE(refused.error().fits.find("--take-copy"), std::string::npos);
    }
    auto store = open({.take_copy = true});
    ASSERT_TRUE(store);
    EXPECT_EQ(text_of(*store, id), "a");
  }
}

TEST_F(StoreTest, AFileThatIsNoStoreIsRefused) {
  fs::create_directories(folder_);
  std::ofstream(folder_ / "halfround.db") << std::string(5000, 'n');
  EXPECT_EQ(Store::open(folder_).error().code, "store-damaged");
}

TEST_F(StoreTest, TheListOfRevisionsReadsNoText) {
  auto store = open();
  const std::string job = *store->add_job("one", "version = 1\n", How::start, "begun");
  ASSERT_TRUE(store->add(job, 1, "version = 1\n# more\n", "one", "more"));
  ASSERT_TRUE(store->undo(job));
  SQLite::Database db((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE, 1000);
  db.exec("update revisions set text = 'something else'");
  const auto all = store->revisions(job);
  ASSERT_TRUE(all);
  ASSERT_EQ(all->size(), 3U);
  EXPECT_EQ(all->at(0).mark, base::text_mark("version = 1\n"));
  EXPECT_EQ(all->at(1).mark, base::text_mark("version = 1\n# more\n"));
  EXPECT_EQ(all->at(2).mark, all->at(0).mark);
  EXPECT_EQ(store->revision(job, 2).error().code, "store-damaged");
  // a text is kept in pages of its own; those of the index are all that is read
  SQLite::Statement plan(
      db,
      "explain query plan select number, '' as text, what, name, at, how, back, forward, mark "
      "from revisions where job = 'x' order by number desc");
  ASSERT_TRUE(plan.executeStep());
  EXPECT_NE(plan.getColumn("detail").getString().find("COVERING INDEX revision_list"), std::string::npos)
      << plan.getColumn("detail").getString();
}

TEST_F(StoreTest, ANewerStoreIsLeftAlone) {
  { auto store = open(); }
  SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE)
      .exec("pragma user_version = 99");
  EXPECT_EQ(Store::open(folder_).error().code, "store-newer");
}

TEST_F(StoreTest, TheStoreOfEveryReleaseOpens) {
  for (int version = 1; version <= kVersion; ++version) {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    std::ifstream dump(std::string(SOURCE_DIR "/tests/store/version-") + std::to_string(version) + ".sql");
    ASSERT_TRUE(dump) << version;
    const std::string sql{std::istreambuf_iterator<char>(dump), {}};
    SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
        .exec(sql);
    auto store = open();
    ASSERT_TRUE(store);
    ASSERT_EQ(store->jobs()->size(), 1U);
    EXPECT_EQ(text_of(*store, store->jobs()->front().id), "version = 1\n");
    EXPECT_TRUE(store->undo(store->jobs()->front().id));
    const auto listed = store->revisions(store->jobs()->front().id);
    ASSERT_TRUE(listed);
    for (const Revision& r : *listed)
      EXPECT_EQ(r.mark, base::text_mark(r.number == 2 ? "version = 1\n" : "version = 0")) << version;
    const std::string shop = *store->shop();
    EXPECT_EQ(shop.empty(), version < 2);
    if (version < 2) continue;
    EXPECT_EQ(store->newest(shop)->number, 1);
  }
}

TEST_F(StoreTest, WhatATextMustBeIsKeptWithItInEveryVersion) {
  for (int version = 1; version <= kVersion; ++version) {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    const std::string file = (folder_ / "halfround.db").string();
    SQLite::Database(file, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
        .exec(bytes_of(SOURCE_DIR "/tests/store/version-" + std::to_string(version) + ".sql"));
    { ASSERT_TRUE(open()); }
    SQLite::Database(file, SQLite::OPEN_READWRITE)
        .exec("update revisions set text = 'version = 2' where number = 2");
    const auto refused = Store::open(folder_);
    ASSERT_FALSE(refused) << version;
    EXPECT_EQ(refused.error().code, "store-damaged");
    EXPECT_NE(refused.error().what.find("the text of revision 2"), std::string::npos) << refused.error().what;
  }
}

TEST_F(StoreTest, ATextThatIsNotTheOneKeptIsNeverHandedOutAndOneCanGoBack) {
  auto store = open();
  const std::string id = *store->add_job("first", "a", How::start, "begun");
  ASSERT_TRUE(store->add(id, 1, "b", "first", "a to b"));
  SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE)
      .exec("update revisions set text = 'c', how = 77 where number = 2");
  EXPECT_EQ(store->newest(id).error().code, "store-damaged");
  EXPECT_NE(store->newest(id).error().what.find("Revision 2"), std::string::npos);
  EXPECT_EQ(store->revisions(id)->front().how, How::edit) << "a word for it that is none is no crash";
  EXPECT_EQ(*store->back_to(id, 2, 1, "first"), 3);
  EXPECT_EQ(text_of(*store, id), "a");
  EXPECT_EQ(store->undo(id).error().code, "store-damaged");
}

TEST_F(StoreTest, GoingBackIsARevisionOfItsOwn) {
  auto store = open();
  const std::string id = *store->add_job("first", "a", How::start, "begun");
  for (int n = 1; n <= 5; ++n) ASSERT_TRUE(store->add(id, n, "text " + std::to_string(n + 1), "first", ""));
  EXPECT_EQ(store->back_to(id, 5, 2, "first").error().code, "revision-stale");
  EXPECT_EQ(store->back_to(id, 6, 9, "first").error().code, "no-such-revision");
  EXPECT_EQ(*store->back_to(id, 6, 2, "second"), 7);
  EXPECT_EQ(text_of(*store, id), "text 2");
  EXPECT_EQ(store->newest(id)->how, How::back);
  EXPECT_EQ(store->jobs()->front().name, "second");
  EXPECT_EQ(*store->undo(id), 8);
  EXPECT_EQ(text_of(*store, id), "text 6");
}

TEST_F(StoreTest, OfTwoWhoTakeOneNameAtOnceOneGetsIt) {
  { ASSERT_TRUE(open()); }
  std::atomic<int> taken = 0, refused = 0;
  std::vector<std::thread> all;
  for (int i = 0; i < 8; ++i)
    all.emplace_back([&] {
      auto visitor = open({.visit = true});
      const auto made = visitor->add_job("same", "a", How::import, "kept", Kind::job, SameName::refused);
      made ? ++taken : ++refused;
      if (!made) {
        EXPECT_EQ(made.error().code, "name-taken");
      }
    });
  for (std::thread& t : all) t.join();
  EXPECT_EQ(taken, 1);
  EXPECT_EQ(refused, 7);
  EXPECT_EQ(open()->jobs()->size(), 1U);
}

TEST_F(StoreTest, OneServerAStore) {
  auto store = open();
  const auto second = Store::open(folder_);
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, "store-busy");
}

TEST_F(StoreTest, TheShopHasAHistoryAndIsNoJob) {
  {
    auto store = open();
    EXPECT_EQ(*store->shop(), "");
    const std::string id = *store->add_job("shed", "a", How::start, "begun", Kind::shop);
    ASSERT_EQ(*store->shop(), id);
    EXPECT_FALSE(store->add_job("another", "b", How::start, "begun", Kind::shop));
    EXPECT_EQ(*store->add(id, 1, "b", "shed", "a to b"), 2);
    EXPECT_TRUE(store->jobs()->empty());
  }
  auto store = open();
  EXPECT_EQ(*store->undo(*store->shop()), 3);
  EXPECT_EQ(text_of(*store, *store->shop()), "a");
}

TEST_F(StoreTest, AVisitorReadsAndAddsBesideAServer) {
  auto server = open();
  const std::string first = *server->add_job("first", "a", How::start, "begun");
  std::string second;
  {
    auto visitor = open({.visit = true});
    ASSERT_TRUE(visitor);
    EXPECT_EQ(text_of(*visitor, first), "a");
    second = *visitor->add_job("second", "b", How::import, "kept");
    ASSERT_TRUE(server->add(first, 1, "c", "first", "a to c"));
    EXPECT_EQ(text_of(*visitor, first), "c");
  }
  EXPECT_EQ(server->jobs()->size(), 2U);
  EXPECT_EQ(text_of(*server, second), "b");
  EXPECT_EQ(Store::open(folder_).error().code, "store-busy");
  server.reset();
  EXPECT_EQ(open()->jobs()->size(), 2U);
}

TEST_F(StoreTest, AVisitorBeginsAStoreWhoseFileAloneHoldsIt) {
  const std::string id = *open({.visit = true})->add_job("first", "a", How::import, "kept");
  const std::string file = bytes_of(folder_ / "halfround.db");
  fs::remove_all(folder_);
  fs::create_directories(folder_);
  std::ofstream(folder_ / "halfround.db", std::ios::binary) << file;
  EXPECT_EQ(text_of(*open(), id), "a");
}

TEST_F(StoreTest, AVisitorBringsAnOldFileUpToDateOnlyWhileNobodyServesIt) {
  fs::create_directories(folder_);
  std::ifstream dump(SOURCE_DIR "/tests/store/version-1.sql");
  const std::string sql{std::istreambuf_iterator<char>(dump), {}};
  SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
      .exec(sql);
  EXPECT_EQ(open({.visit = true})->jobs()->size(), 1U);
  auto server = open();
  SQLite::Database((folder_ / "halfround.db").string(), SQLite::OPEN_READWRITE)
      .exec("pragma user_version = 1");
  EXPECT_EQ(Store::open(folder_, {.visit = true}).error().code, "store-busy");
}

TEST_F(StoreTest, AFolderThatCantBeWrittenIsSaidAtOnce) {
  if (::geteuid() == 0) GTEST_SKIP() << "root may write anywhere";
  fs::create_directories(folder_);
  fs::permissions(folder_, fs::perms::owner_read | fs::perms::owner_exec);
  EXPECT_EQ(Store::open(folder_).error().code, "store-unwritable");
}

}  // namespace
}  // namespace halfround::store
