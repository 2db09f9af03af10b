// A disk that fills up while one edits: said at once, nothing lost, gone on with as soon as there is room.
#include <gtest/gtest.h>

#include <fstream>
#include <random>

#include "disk/small_disk.h"
#include "serve/asking.h"

namespace halfround::disk {
namespace {

using serve::Answered;
using serve::Client;
using serve::Json;
using store::Store;

/// The server on a disk of its own.
class FullDiskTest : public serve::AskingTest {
 protected:
  void SetUp() override {
    if (!no_mounts().empty()) GTEST_SKIP() << no_mounts();
    folder_ = fs::temp_directory_path() / ("halfround-disk-" + std::to_string(::getpid()));
    disk_ = std::make_unique<SmallDisk>(folder_, 8192);
    if (!disk_->there()) GTEST_SKIP() << "no tmpfs may be mounted";
    start();
  }
  void TearDown() override {
    stop();
    disk_.reset();
  }
  /// The n-th edit: the axle is so long.
  static std::string typed(std::int64_t n) { return std::to_string(100 + static_cast<double>(n) / 100); }
  static Json edits(std::int64_t n) { return {{{"key", "hub.over_locknut"}, {"typed", typed(n)}}}; }
  Answered next_edit() { return post("edits", serve::edit(0, "hub.over_locknut", typed(accepted_ + 1))); }
  /// Edits until one is refused, which is returned. Revision n holds the n-th.
  Answered edit_until_refused(int most = 2000) {
    for (int i = 0; i < most; ++i) {
      Answered answered = next_edit();
      if (answered.status != 200) return answered;
      EXPECT_EQ(Json::parse(answered.body)["revision"], ++accepted_);
    }
    return {};
  }
  void expect_every_edit_in(Store& store) const {
    const auto newest = store.newest(id_);
    ASSERT_TRUE(newest) << base::sentence(newest.error());
    EXPECT_EQ(newest->number, accepted_);
    for (std::int64_t n = 2; n <= accepted_; ++n) {
      const auto then = store.revision(id_, n);
      ASSERT_TRUE(then) << n;
      EXPECT_NE(then->text.find("over_locknut = " + typed(n)), std::string::npos) << n;
      EXPECT_EQ(then->back, n - 1);
    }
  }
  static void expect_said(const Json& problems) {
    ASSERT_FALSE(problems.empty());
    EXPECT_EQ(problems[0]["code"], "store-unwritable");
    EXPECT_EQ(problems[0]["what"], "The disk is full: nothing can be saved.");
    EXPECT_FALSE(problems[0]["fits"].get<std::string>().empty());
  }

  std::unique_ptr<SmallDisk> disk_;
  std::int64_t accepted_ = 1;  ///< the newest revision we were told of
};

std::string bytes_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

TEST_F(FullDiskTest, TheEditThatFindsNoRoomIsRefusedAndNothingIsLost) {
  disk_->fill(200);
  const Answered refused = edit_until_refused();
  EXPECT_EQ(refused.status, 507);
  expect_said(Json::parse(refused.body)["problems"]);
  EXPECT_GT(accepted_, 2);
  // what only reads goes on
  EXPECT_EQ(job()["revision"], accepted_);
  EXPECT_EQ(get("view").status, 200);
  EXPECT_EQ(Client(port_).ask("POST", "/api/jobs", "{}").status, 507);
  // the disk's files taken elsewhere, as they are
  const fs::path elsewhere = folder_.string() + "-elsewhere";
  fs::remove_all(elsewhere);
  fs::create_directories(elsewhere);
  for (const char* name : {"halfround.db", "halfround.db-wal"}) fs::copy(folder_ / name, elsewhere / name);
  {
    auto store = Store::open(elsewhere);
    ASSERT_TRUE(store) << base::sentence(store.error());
    expect_every_edit_in(**store);
  }
  fs::remove_all(elsewhere);
  disk_->make_room();
  EXPECT_EQ(next_edit().status, 200);
  ++accepted_;
  expect_every_edit_in(*store_);
  stop();
  start();
  expect_every_edit_in(*store_);
}

TEST_F(FullDiskTest, TheLiveSocketSaysSoAtOnce) {
  serve::Socket page(port_, id_);
  disk_->fill(60);
  (void)edit_until_refused();
  page.say({{"do", "set"}, {"id", 1}, {"edits", edits(accepted_ + 1)}});
  const Json view = page.answer(1);
  EXPECT_FALSE(view["saved"]);
  expect_said(view["problems"]);
  EXPECT_EQ(view["revision"], accepted_);
  EXPECT_TRUE(view["solved"]);
  page.say({{"do", "try"}, {"id", 2}, {"edits", edits(accepted_ + 1)}});
  const Json tried = page.answer(2);
  EXPECT_TRUE(tried["solved"]);
  EXPECT_EQ(tried["fields"]["hub.over_locknut"]["typed"], typed(accepted_ + 1));
  disk_->make_room();
  page.say({{"do", "set"}, {"id", 3}, {"edits", edits(accepted_ + 1)}});
  const Json saved = page.answer(3);
  EXPECT_TRUE(saved["saved"]);
  EXPECT_EQ(saved["revision"], accepted_ + 1);
}

TEST_F(FullDiskTest, UndoIsRefusedWholeAndDoneOnceThereIsRoom) {
  disk_->fill(60);
  (void)edit_until_refused();
  int undone = 0;
  std::int64_t newest = accepted_;
  // an undo may be smaller than the edit that found no room; there are no more of them than edits
  for (; undone < accepted_ - 1; ++undone, ++newest)
    if (const Answered answered = post("undo", "{}"); answered.status != 200) {
      EXPECT_EQ(answered.status, 507);
      break;
    }
  ASSERT_LT(undone, accepted_ - 1);
  EXPECT_EQ(job()["revision"], newest);
  EXPECT_NE(get("job.toml")
                .body.find("over_locknut = " + (accepted_ - undone > 1 ? typed(accepted_ - undone) : "100")),
            std::string::npos);
  disk_->make_room();
  for (; undone < accepted_ - 1; ++undone) ASSERT_EQ(post("undo", "{}").status, 200) << undone;
  EXPECT_EQ(post("undo", "{}").status, 409);
  for (; undone > 0; --undone) ASSERT_EQ(post("redo", "{}").status, 200) << undone;
  EXPECT_EQ(post("redo", "{}").status, 409);
  EXPECT_NE(get("job.toml").body.find("over_locknut = " + typed(accepted_)), std::string::npos);
}

TEST_F(FullDiskTest, FullOverAndOverAtEveryPlaceLosesNothing) {
  std::mt19937 random(20261128);
  for (int round = 0; round < 12; ++round) {
    disk_->fill(std::uniform_int_distribution<std::size_t>(0, 150)(random));
    ASSERT_EQ(edit_until_refused().status, 507) << round;
    disk_->make_room();
    ASSERT_EQ(next_edit().status, 200) << round;
    ++accepted_;
  }
  stop();
  disk_->fill();
  disk_->make_room();
  start();
  expect_every_edit_in(*store_);
}

TEST_F(FullDiskTest, TheOldCopyStaysWhereThereIsNoRoomForANewOne) {
  disk_->fill(100);
  ASSERT_EQ(edit_until_refused().status, 507);
  const std::string before = bytes_of(folder_ / "halfround-copy.db");
  ASSERT_FALSE(before.empty());
  stop();
  EXPECT_TRUE(bytes_of(folder_ / "halfround-copy.db") == before);
  for (const auto& entry : fs::directory_iterator(folder_)) EXPECT_NE(entry.path().extension(), ".new");
  disk_->make_room();
  start();
  expect_every_edit_in(*store_);
  EXPECT_FALSE(bytes_of(folder_ / "halfround-copy.db") == before);
}

TEST_F(FullDiskTest, AMendedStoreNeedsRoomFirst) {
  ASSERT_EQ(next_edit().status, 200);
  stop();
  std::fstream(folder_ / "halfround.db", std::ios::in | std::ios::out | std::ios::binary)
      << std::string(9000, 'x');
  const std::string damaged = bytes_of(folder_ / "halfround.db"),
                    copy = bytes_of(folder_ / "halfround-copy.db");
  disk_->fill(20);
  const auto refused = Store::open(folder_, {.take_copy = true});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "store-unwritable");
  EXPECT_TRUE(bytes_of(folder_ / "halfround.db") == damaged);
  EXPECT_TRUE(bytes_of(folder_ / "halfround-copy.db") == copy);
  disk_->make_room();
  auto store = Store::open(folder_, {.take_copy = true});
  ASSERT_TRUE(store) << base::sentence(store.error());
  EXPECT_EQ((*store)->newest(id_)->number, 2);
  EXPECT_TRUE(bytes_of(folder_ / "aside-1" / "halfround.db") == damaged);
}

TEST_F(FullDiskTest, AStartWithoutRoomIsSaidAndHarmsNothing) {
  ASSERT_EQ(next_edit().status, 200);
  ++accepted_;
  stop();
  disk_->fill();
  if (const auto store = Store::open(folder_); !store) {
    EXPECT_EQ(store.error().code, "store-unwritable");
    EXPECT_EQ(store.error().what, "The disk is full: nothing can be saved.");
  } else {
    ADD_FAILURE() << "a store opened without room for its index";
  }
  disk_->make_room();
  start();
  expect_every_edit_in(*store_);
}

}  // namespace
}  // namespace halfround::disk
