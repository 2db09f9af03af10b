// What the command reads is bounded and plain; what it writes is whole, under a name nobody else has.
#include "cli/files.h"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <thread>

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;
const std::string kProgram = BINARY_DIR "/bin/halfround";

class FilesTest : public testing::Test {
 protected:
  void SetUp() override {
    folder = fs::temp_directory_path() / ("halfround-files-" + std::to_string(::getpid()));
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  void TearDown() override { fs::remove_all(folder); }
  [[nodiscard]] std::string path(const char* name) const { return (folder / name).string(); }
  [[nodiscard]] std::string text(const std::string& file) const {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  fs::path folder;
};

/// What the program said and its exit code; 128 and the signal where one ended it.
struct Told {
  int exit = -1;
  std::string words;
};
Told run(const std::string& words) {
  Told out;
  FILE* pipe = ::popen(("exec 2>&1; " + words).c_str(), "r");
  char block[512];
  while (pipe != nullptr && std::fgets(block, sizeof block, pipe) != nullptr) out.words += block;
  const int status = ::pclose(pipe);
  out.exit = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return out;
}

TEST_F(FilesTest, WhatIsNoPlainFileIsRefusedAtOnceInASentence) {
  ASSERT_EQ(::mkfifo(path("pipe").c_str(), 0600), 0);
  const int s = ::socket(AF_UNIX, SOCK_STREAM, 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  path("socket").copy(address.sun_path, sizeof address.sun_path - 1);
  ASSERT_EQ(::bind(s, reinterpret_cast<sockaddr*>(&address), sizeof address), 0);
  for (const auto& [file, words] : {std::pair<std::string, const char*>{"/dev/zero", "it is a device"},
                                    {"/dev/null", "it is a device"},
                                    {"/dev/tty", ""},
                                    {path("pipe"), "it is a pipe"},
                                    {path("socket"), ""},
                                    {folder.string(), "it is a folder"},
                                    {path("none"), "there is no such file"}}) {
    const auto start = std::chrono::steady_clock::now();
    const auto refused = read_file(file);
    ASSERT_FALSE(refused) << file;
    EXPECT_EQ(refused.error().code, "file-unreadable") << file;
    EXPECT_NE(refused.error().what.find(words), std::string::npos) << refused.error().what;
    EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(2)) << file;
  }
  ::close(s);
}

TEST_F(FilesTest, NoMoreThanTheBoundIsReadWhateverTheFileSaysOfItsSize) {
  std::ofstream(path("a")) << std::string(1000, 'x');
  EXPECT_EQ(read_file(path("a"), 1000)->size(), 1000U);
  EXPECT_EQ(read_file(path("a"), 999).error().code, "file-too-big");
  // the kernel says 0 of these
  EXPECT_GT(read_file("/proc/self/maps")->size(), 100U);
  EXPECT_EQ(read_file("/proc/self/maps", 100).error().code, "file-too-big");
}

TEST_F(FilesTest, EveryCommandThatOpensAFileSaysSo) {
  const std::string job = SOURCE_DIR "/examples/island-mail/fork.toml";
  ASSERT_EQ(::mkfifo(path("pipe").c_str(), 0600), 0);
  for (const std::string& bad : {std::string("/dev/zero"), path("pipe"), folder.string()}) {
    for (const std::string& words :
         {"check " + bad, "solve " + bad, "make " + bad + " -o " + path("s"), "replan " + bad,
          "keep " + bad + " --data " + path("d"), "solve " + job + " --shop " + bad,
          "make " + job + " -o " + path("s") + " --shop " + bad, "fitup " + job + " " + bad,
          "import " + bad + " --as tyre", "serve --port 0 --data " + path("e") + " --shop " + bad,
          "jobs restore " + bad + " --data " + path("d")}) {
      const Told told = run("ulimit -v 4000000; timeout 20 " + kProgram + " " + words);
      EXPECT_EQ(told.exit, 5) << words << "\n" << told.words;
      EXPECT_NE(told.words.find("could not be read"), std::string::npos) << words << "\n" << told.words;
    }
  }
  const Told endless = run("timeout 20 " + kProgram + " check - < /dev/zero");
  EXPECT_EQ(endless.exit, 5) << endless.words;
  EXPECT_FALSE(fs::exists(path("s")));
}

TEST_F(FilesTest, AFilePastTheAccountsLimitIsASentenceAndNoSignal) {
  const std::string job = SOURCE_DIR "/examples/island-mail/fork.toml";
  const Told told =
      run("ulimit -f 20; timeout 60 " + kProgram + " make " + job + " --no-solids -o " + path("s"));
  EXPECT_EQ(told.exit, 5) << told.words;
  EXPECT_NE(told.words.find("File too large"), std::string::npos) << told.words;
  EXPECT_FALSE(fs::exists(path("s") + "/sheets.txt"));
  const Told kept = run("ulimit -f 8; timeout 60 " + kProgram + " keep " + job + " --data " + path("d"));
  EXPECT_EQ(kept.exit, 5) << kept.words;
  EXPECT_NE(kept.words.find("account may write"), std::string::npos) << kept.words;
}

TEST_F(FilesTest, AnAnswerThatDoesNotFitIsNotTakenForAWholeOne) {
  const Told told = run("timeout 60 " + kProgram + " new - 2>&1 >/dev/full");
  EXPECT_EQ(told.exit, 5) << told.words;
  EXPECT_NE(told.words.find("standard output"), std::string::npos) << told.words;
}

TEST_F(FilesTest, AFileThatIsToBeLeftAloneIsNeverReplacedNotByTwoAtOnceEither) {
  const std::string file = path("new.toml");
  std::vector<std::thread> all;
  std::atomic<int> wrote = 0, refused = 0;
  for (int i = 0; i < 8; ++i)
    all.emplace_back([&, i] {
      const auto written =
          write_text(file, std::string(100'000, static_cast<char>('a' + i)), There::left_alone);
      written ? ++wrote : ++refused;
      if (!written) {
        EXPECT_EQ(written.error().code, "file-exists");
      }
    });
  for (std::thread& t : all) t.join();
  EXPECT_EQ(wrote, 1);
  EXPECT_EQ(refused, 7);
  const std::string is = text(file);
  EXPECT_EQ(is, std::string(100'000, is[0])) << "two wrote into one";
  EXPECT_EQ(std::distance(fs::directory_iterator(folder), {}), 1);
  // a link that leads nowhere is something too
  fs::create_symlink(path("nowhere"), path("link"));
  EXPECT_EQ(write_text(path("link"), "x", There::left_alone).error().code, "file-exists");
  EXPECT_FALSE(fs::exists(path("nowhere")));
}

TEST_F(FilesTest, WhatLiesWhereAPartWouldBeWrittenIsNotFollowed) {
  std::ofstream(path("mine")) << "mine";
  fs::create_symlink(path("mine"), path("out.toml.part"));
  for (int n = 0; n < 3; ++n)
    fs::create_symlink(path("mine"), path("out.toml") + "." + std::to_string(::getpid()) + "-" +
                                         std::to_string(n) + ".part");
  ASSERT_TRUE(write_text(path("out.toml"), "ours"));
  EXPECT_EQ(text(path("mine")), "mine");
  EXPECT_EQ(text(path("out.toml")), "ours");
}

}  // namespace
}  // namespace halfround::cli
