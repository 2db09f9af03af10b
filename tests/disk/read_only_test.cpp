// A folder that can't be written to: said at the start in one sentence, or at the edit where it becomes so
// meanwhile.
#include <gtest/gtest.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>

#include "disk/small_disk.h"
#include "serve/asking.h"

namespace halfround::disk {
namespace {

using serve::Answered;
using serve::Json;
using store::Store;

struct Told {
  int exit = -1;
  std::string words;
};
/// The program itself, started on a folder.
Told serve_on(const fs::path& folder) {
  const std::string line = BINARY_DIR "/bin/halfround serve --port 0 --data " + folder.string() + " 2>&1";
  Told out;
  FILE* pipe = ::popen(line.c_str(), "r");
  if (pipe == nullptr) return out;
  std::array<char, 512> bytes;
  while (std::fgets(bytes.data(), bytes.size(), pipe) != nullptr) out.words += bytes.data();
  const int status = ::pclose(pipe);
  out.exit = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return out;
}

class ReadOnlyTest : public testing::Test {
 protected:
  void SetUp() override {
    if (!no_mounts().empty()) GTEST_SKIP() << no_mounts();
    disk_ = std::make_unique<SmallDisk>(folder_, 4096);
    if (!disk_->there()) GTEST_SKIP() << "no tmpfs may be mounted";
  }
  void expect_refused() const {
    ASSERT_TRUE(disk_->read_only(true));
    const Told told = serve_on(folder_);
    EXPECT_EQ(told.exit, 5);
    EXPECT_NE(told.words.find("The folder can't be written to."), std::string::npos) << told.words;
    EXPECT_EQ(std::ranges::count(told.words, '\n'), 1) << told.words;
  }
  fs::path folder_ = fs::temp_directory_path() / ("halfround-read-only-" + std::to_string(::getpid()));
  std::unique_ptr<SmallDisk> disk_;
};

TEST_F(ReadOnlyTest, ANewFolderIsRefusedAtTheStart) {
  expect_refused();
}

TEST_F(ReadOnlyTest, AStoreIsRefusedAtTheStartAndOpensAfterwards) {
  std::string id;
  {
    auto store = Store::open(folder_);
    ASSERT_TRUE(store);
    id = *(*store)->add_job("first", "a", store::How::start, "begun");
  }
  expect_refused();
  ASSERT_TRUE(disk_->read_only(false));
  auto store = Store::open(folder_);
  ASSERT_TRUE(store) << base::sentence(store.error());
  EXPECT_EQ((*store)->newest(id)->text, "a");
}

TEST_F(ReadOnlyTest, AStoreWhoseServerWasKilledIsRefusedToo) {
  const fs::path from = folder_ / "from", left = folder_ / "left";
  std::string id;
  {
    auto store = Store::open(from);
    ASSERT_TRUE(store);
    id = *(*store)->add_job("first", "a", store::How::start, "begun");
    fs::copy(from, left);  // with what is still beside the file
  }
  ASSERT_TRUE(fs::exists(left / "halfround.db-wal"));
  ASSERT_TRUE(disk_->read_only(true));
  const Told told = serve_on(left);
  EXPECT_EQ(told.exit, 5);
  EXPECT_NE(told.words.find("The folder can't be written to."), std::string::npos) << told.words;
  ASSERT_TRUE(disk_->read_only(false));
  auto store = Store::open(left);
  ASSERT_TRUE(store) << base::sentence(store.error());
  EXPECT_EQ((*store)->newest(id)->text, "a");
}

/// From here on the kernel refuses what this thread, and those it starts, write into files, as it does on a
/// disk that it made read-only after a fault. (A remount isn't possible while a file is open.)
void become_read_only() {
  constexpr sock_filter program[] = {
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr)),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, __NR_pwrite64, 0, 1),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | EROFS),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
  };
  const sock_fprog all{std::size(program), const_cast<sock_filter*>(program)};
  ASSERT_EQ(::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0), 0);
  ASSERT_EQ(::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &all), 0);
}

class BecomesReadOnlyTest : public serve::AskingTest {};

TEST_F(BecomesReadOnlyTest, TheEditIsRefusedInPlainWordsAndTakenOnceItCanBe) {
  ASSERT_EQ(post("edits", serve::edit(1, "hub.axle", "11")).status, 200);
  leave();
  std::thread([this] {
    become_read_only();
    listen();  // whose threads can't write either
  }).join();
  serve::Socket page(port_, id_);
  const Answered refused = post("edits", serve::edit(2, "hub.axle", "12"));
  EXPECT_EQ(refused.status, 507);
  const Json problem = Json::parse(refused.body)["problems"][0];
  EXPECT_EQ(problem["code"], "store-unwritable");
  EXPECT_EQ(problem["what"], "The folder can't be written to.");
  page.say({{"do", "set"}, {"id", 1}, {"edits", Json::array({{{"key", "hub.axle"}, {"typed", "12"}}})}});
  const Json view = page.answer(1);
  EXPECT_FALSE(view["saved"]);
  EXPECT_EQ(view["problems"][0]["what"], "The folder can't be written to.");
  EXPECT_EQ(view["fields"]["hub.axle"]["typed"], "11");
  leave();
  listen();
  EXPECT_EQ(post("edits", serve::edit(2, "hub.axle", "12")).status, 200);
  EXPECT_EQ(job()["revision"], 3);
}

}  // namespace
}  // namespace halfround::disk
