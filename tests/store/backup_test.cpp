// The store in one file and back: whole, beside a running server, nothing overwritten, what was there before
// kept.
#include "store/backup.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include <atomic>
#include <cstdlib>
#include <random>
#include <thread>

#include "store/folder.h"

namespace halfround::store {
namespace {

class BackupTest : public StoreTest {
 protected:
  void SetUp() override {
    StoreTest::SetUp();
    file_ = folder_.string() + "-backup.db";
    fs::remove(file_);
  }
  void TearDown() override {
    StoreTest::TearDown();
    fs::remove(file_);
  }
  std::string begin(const std::string& name, const std::string& text) const {
    auto store = open();
    return *store->add_job(name, text, How::start, "begun");
  }
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> out;
    const auto rows = open()->jobs();
    for (const JobRow& row : *rows) out.push_back(row.name);
    return out;
  }
  std::string file_;
};

TEST_F(BackupTest, WhatWasBackedUpComesBackAndWhatWasThereIsPutAside) {
  const std::string id = begin("first", "a");
  const auto made = backup(folder_, file_);
  ASSERT_TRUE(made) << base::sentence(made.error());
  EXPECT_EQ(made->jobs, 1);
  EXPECT_EQ(made->revisions, 1);
  struct stat s {};
  ASSERT_EQ(::stat(file_.c_str(), &s), 0);
  EXPECT_EQ(s.st_mode & 0777, 0600U);
  {
    auto store = open();
    ASSERT_TRUE(store->add(id, 1, "b", "later", "an edit"));
    ASSERT_TRUE(store->add_device("a phone", ""));
  }
  const auto back = restore(folder_, file_);
  ASSERT_TRUE(back) << base::sentence(back.error());
  EXPECT_EQ(back->jobs, 1);
  {
    auto store = open();
    EXPECT_EQ(text_of(*store, id), "a");
    EXPECT_TRUE(store->devices()->empty());
  }
  // what was put aside is a data folder as any other
  auto aside = Store::open(back->aside);
  ASSERT_TRUE(aside) << base::sentence(aside.error());
  EXPECT_EQ((*aside)->newest(id)->text, "b");
}

TEST_F(BackupTest, ItIsTakenWhileAServerRunsAndHoldsWhatWasAccepted) {
  auto server = open();
  const std::string id = *server->add_job("first", "1", How::start, "begun");
  std::atomic<bool> over = false;
  std::atomic<std::int64_t> accepted = 1;
  std::thread edits([&] {
    while (!over) {
      ASSERT_TRUE(server->add(id, accepted, std::to_string(accepted + 1), "first", "an edit"));
      ++accepted;
    }
  });
  while (accepted < 5) std::this_thread::yield();
  const std::int64_t before = accepted;
  const auto made = backup(folder_, file_);
  over = true;
  edits.join();
  ASSERT_TRUE(made) << base::sentence(made.error());
  EXPECT_GE(made->revisions, before);
  EXPECT_EQ(restore(folder_, file_).error().code, "store-busy");
  EXPECT_EQ(server->newest(id)->number, accepted);
  server.reset();
  ASSERT_TRUE(restore(folder_, file_));
  EXPECT_EQ(open()->newest(id)->number, made->revisions);
}

TEST_F(BackupTest, NothingIsOverwrittenAndNoneIsMadeOfNothing) {
  EXPECT_EQ(backup(folder_, file_).error().code, "no-such-book");
  EXPECT_FALSE(fs::exists(folder_)) << "asking begins no book";
  begin("first", "a");
  std::ofstream(file_) << "mine";
  EXPECT_EQ(backup(folder_, file_).error().code, "file-exists");
  EXPECT_EQ(bytes_of(file_), "mine");
  EXPECT_EQ(backup(folder_, folder_.string() + "/none/x.db").error().code, "store-unwritable");
}

TEST_F(BackupTest, AFileThatIsNoBookIsRefusedAndTheStoreStays) {
  begin("first", "a");
  const auto expect_refused = [&](const char* code) {
    const auto refused = restore(folder_, file_);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, code);
    EXPECT_EQ(names(), std::vector<std::string>{"first"});
    EXPECT_FALSE(fs::exists(folder_ / "aside-1"));
    EXPECT_FALSE(fs::exists(folder_ / "restore.new"));
  };
  expect_refused("file-unreadable");
  std::ofstream(file_) << std::string(5000, 'n');
  expect_refused("backup-unsound");
  fs::remove(file_);
  std::ofstream(file_).close();
  expect_refused("backup-unsound");
  fs::remove(file_);
  SQLite::Database(file_, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE).exec("create table notes(a)");
  expect_refused("backup-unsound");
  fs::remove(file_);
  ASSERT_TRUE(backup(folder_, file_));
  SQLite::Database(file_, SQLite::OPEN_READWRITE).exec("update revisions set text = 'other'");
  expect_refused("backup-unsound");
  SQLite::Database(file_, SQLite::OPEN_READWRITE).exec("pragma user_version = 99");
  expect_refused("store-newer");
  fs::remove(file_);
  fs::create_directories(file_);
  expect_refused("file-unreadable");
}

TEST_F(BackupTest, TheStoreOfEveryReleaseCanBePutBack) {
  for (int version = 1; version <= kVersion; ++version) {
    fs::remove_all(folder_);
    fs::remove(file_);
    SQLite::Database(file_, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
        .exec(bytes_of(SOURCE_DIR "/tests/store/version-" + std::to_string(version) + ".sql"));
    begin("first", "a");
    const auto back = restore(folder_, file_);
    ASSERT_TRUE(back) << version << base::sentence(back.error());
    EXPECT_EQ(back->jobs, 1);
    EXPECT_EQ(names(), std::vector<std::string>{"old"});
  }
}

TEST_F(BackupTest, ADamagedStoreIsPutAsideToo) {
  begin("first", std::string(20'000, 'a'));
  ASSERT_TRUE(backup(folder_, file_));
  spoil(4096);
  ASSERT_TRUE(restore(folder_, file_));
  EXPECT_EQ(names(), std::vector<std::string>{"first"});
  fs::remove(folder_ / "halfround.db");
  fs::remove(folder_ / "halfround-copy.db");
  fs::remove(folder_ / "halfround-copy-2.db");
  EXPECT_EQ(Store::open(folder_).error().code, "store-damaged");
  ASSERT_TRUE(restore(folder_, file_));
  EXPECT_EQ(names(), std::vector<std::string>{"first"});
}

/// HALFROUND_RESTORES says how often; ./test does a few, the slow run fifty.
TEST_F(BackupTest, KilledAnywhereARestoreLeavesTheOldStoreOrTheNewOne) {
  const char* said = std::getenv("HALFROUND_RESTORES");
  const int rounds = said != nullptr ? std::atoi(said) : 8;
  begin("new", std::string(300'000, 'n'));
  ASSERT_TRUE(backup(folder_, file_));
  std::mt19937 random(20261130);
  int old = 0, fresh = 0, half = 0;
  double longest = 0.02;
  for (int round = 0; round < rounds; ++round) {
    fs::remove_all(folder_);
    begin("old", std::string(300'000, 'o'));
    const auto start = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) ::_exit(restore(folder_, file_) ? 0 : 1);
    // every second one while the files are exchanged, which takes a few milliseconds
    bool over = false;
    while (round % 2 == 1 && !over && !fs::exists(folder_ / "exchange"))
      over = ::waitpid(child, nullptr, WNOHANG) != 0;
    if (round > 0) {
      const double most = round % 2 == 1 ? 0.003 : longest;
      std::this_thread::sleep_for(
          std::chrono::duration<double>(std::uniform_real_distribution<>(0, most)(random)));
      if (!over) ::kill(child, SIGKILL);
    }
    if (!over) ::waitpid(child, nullptr, 0);
    if (round == 0)  // how long one takes here
      longest = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    half += fs::exists(folder_ / "exchange");
    auto store = Store::open(folder_);
    ASSERT_TRUE(store) << round << base::sentence(store.error());
    const auto jobs = (*store)->jobs();
    ASSERT_EQ(jobs->size(), 1U) << round;
    const auto& job = jobs->front();
    const std::string text = (*store)->newest(job.id)->text;
    EXPECT_EQ(text, std::string(300'000, job.name == "new" ? 'n' : 'o')) << round;
    job.name == "new" ? ++fresh : ++old;
    if (job.name == "new") {
      auto aside = Store::open(folder_ / "aside-1");
      ASSERT_TRUE(aside) << round;
      EXPECT_EQ((*aside)->jobs()->front().name, "old") << round;
    }
    for (const char* name : {"exchange", "exchange.new", "restore.new", "halfround-copy.db.new"})
      EXPECT_FALSE(fs::exists(folder_ / name)) << round << name;
  }
  std::cout << rounds << " restores, killed but for the first: " << old << " left the old store, " << fresh
            << " the new one, " << half << " of them finished at the next start; one takes " << longest * 1000
            << " ms\n";
}

}  // namespace
}  // namespace halfround::store
