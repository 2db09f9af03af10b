// The folder of sheets: nobody else's file is removed, written over or reached by a link; a set is whole or
// says that it isn't.
#include "cli/sheet_folder.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <thread>

#include "cli/sheet_list.h"
#include "serve/pairing.h"

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;
using Files = std::vector<std::pair<std::string, std::string>>;

std::string read(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

class SheetFolder : public testing::Test {
 protected:
  void SetUp() override {
    base_ = fs::temp_directory_path() / ("halfround-sheets-" + std::to_string(::getpid()));
    fs::remove_all(base_);
    fs::create_directories(base_);
  }
  void TearDown() override { fs::remove_all(base_); }
  [[nodiscard]] std::string at() const { return (base_ / "sheets").string(); }
  void put(const std::string& name, const std::string& bytes) const {
    fs::create_directories((base_ / "sheets" / name).parent_path());
    std::ofstream(base_ / "sheets" / name, std::ios::binary) << bytes;
  }
  [[nodiscard]] std::string there(const std::string& name) const { return read(base_ / "sheets" / name); }
  [[nodiscard]] bool has(const std::string& name) const { return fs::exists(base_ / "sheets" / name); }
  void expect_refused(const Files& files, const std::string& code) const {
    const auto refused = write_sheets(at(), files);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, code) << base::sentence(refused.error());
    EXPECT_FALSE(refused.error().fits.empty());
    EXPECT_FALSE(has(kIncomplete));
  }
  static inline const Files kFirst{{"a.pdf", "1"}, {"b.svg", "2"}, {"cut/c.dxf", "3"}, {"cut/d.dxf", "4"}};
  static inline const Files kSecond{{"a.pdf", "10"}, {"e.svg", "5"}, {"tables/f.csv", "6"}};
  fs::path base_;
};

TEST_F(SheetFolder, TheListIsReadBySha256sum) {
  ASSERT_TRUE(write_sheets(at(), kFirst));
  EXPECT_EQ(std::system(("cd " + at() + " && sha256sum --status --strict -c sheets.txt").c_str()), 0);
  put("b.svg", "changed");
  EXPECT_NE(std::system(("cd " + at() + " && sha256sum --status --strict -c sheets.txt").c_str()), 0);
}

TEST_F(SheetFolder, OldSheetsGoAndTheirEmptyFoldersToo) {
  ASSERT_TRUE(write_sheets(at(), kFirst));
  put("mine.txt", "keep");
  ASSERT_TRUE(write_sheets(at(), kSecond));
  EXPECT_EQ(there("a.pdf"), "10");
  for (const char* gone : {"b.svg", "cut/c.dxf", "cut", kIncomplete}) EXPECT_FALSE(has(gone)) << gone;
  EXPECT_EQ(there("mine.txt"), "keep");
  for (const auto& entry : fs::directory_iterator(at())) EXPECT_NE(entry.path().filename().string()[0], '.');
}

TEST_F(SheetFolder, AForeignListIsRefusedAndNothingItNamesIsTouched) {
  put("letter.txt", "dear");
  for (const std::string& list : std::vector<std::string>{
           "letter.txt\n", "", "# sheets for the band\nletter.txt\n",
           "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08  letter.txt\n"}) {
    put("sheets.txt", list);
    expect_refused(kFirst, "folder-foreign");
    EXPECT_EQ(there("letter.txt"), "dear");
    EXPECT_EQ(there("sheets.txt"), list);
    EXPECT_FALSE(has("a.pdf"));
  }
  fs::remove(base_ / "sheets/sheets.txt");
  put(kIncomplete, "of my own");
  const auto refused = write_sheets(at(), kFirst);
  EXPECT_EQ(refused.error().code, "folder-foreign");
  EXPECT_EQ(there(kIncomplete), "of my own");
}

TEST_F(SheetFolder, OurListNamingSomebodysFileDoesNotRemoveIt) {
  ASSERT_TRUE(write_sheets(at(), kFirst));
  put("letter.txt", "dear");
  fs::create_directories(base_ / "elsewhere");
  std::ofstream(base_ / "elsewhere/x") << "mine";
  put("sheets.txt", there("sheets.txt") + std::string(64, '0') + "  letter.txt\n" + serve::hash_of("mine") +
                        "  ../elsewhere/x\n" + serve::hash_of("mine") +
                        "  a/b/../../../elsewhere/x\nletter.txt\n");
  const auto written = write_sheets(at(), kSecond);
  ASSERT_TRUE(written) << base::sentence(written.error());
  EXPECT_EQ(there("letter.txt"), "dear");
  EXPECT_EQ(written->left, std::vector<std::string>{"letter.txt"});
  EXPECT_EQ(read(base_ / "elsewhere/x"), "mine");
}

TEST_F(SheetFolder, ASheetThatWasChangedIsNeitherWrittenOverNorRemoved) {
  ASSERT_TRUE(write_sheets(at(), kFirst));
  put("a.pdf", "with my notes");
  expect_refused(kFirst, "file-exists");
  expect_refused(kSecond, "file-exists");
  EXPECT_EQ(there("a.pdf"), "with my notes");
  EXPECT_EQ(there("b.svg"), "2") << "nothing was exchanged";
  fs::rename(base_ / "sheets/a.pdf", base_ / "sheets/a-mine.pdf");
  put("b.svg", "with my notes");
  const auto written = write_sheets(at(), kSecond);
  ASSERT_TRUE(written);
  EXPECT_EQ(written->left, std::vector<std::string>{"b.svg"});
  EXPECT_EQ(there("b.svg"), "with my notes");
}

TEST_F(SheetFolder, AFileOfThatNameWithoutAListIsSomebodys) {
  put("cut/d.dxf", "a drawing of mine");
  expect_refused(kFirst, "file-exists");
  EXPECT_EQ(there("cut/d.dxf"), "a drawing of mine");
  EXPECT_FALSE(has("a.pdf"));
  put("cut/d.dxf", "4");  // the same bytes harm nobody
  EXPECT_TRUE(write_sheets(at(), kFirst));
}

TEST_F(SheetFolder, NoLinkLeadsOutOfIt) {
  const fs::path other = base_ / "other";
  fs::create_directories(other);
  std::ofstream(other / "c.dxf") << "3";
  fs::create_directories(at());
  fs::create_directory_symlink(other, base_ / "sheets/cut");
  expect_refused(kFirst, "folder-foreign");
  EXPECT_EQ(read(other / "c.dxf"), "3");
  EXPECT_FALSE(fs::exists(other / "d.dxf"));
  // an old sheet's folder that became a link to somewhere with the very same file
  fs::remove(base_ / "sheets/cut");
  ASSERT_TRUE(write_sheets(at(), kFirst));
  fs::remove_all(base_ / "sheets/cut");
  fs::create_directory_symlink(other, base_ / "sheets/cut");
  ASSERT_TRUE(write_sheets(at(), kSecond));
  EXPECT_EQ(read(other / "c.dxf"), "3");
  // a sheet that became a link
  std::ofstream(other / "x") << "10";
  fs::remove(base_ / "sheets/a.pdf");
  fs::create_symlink(other / "x", base_ / "sheets/a.pdf");
  expect_refused(kFirst, "file-exists");
  EXPECT_EQ(read(other / "x"), "10");
  // the folder itself may be a link: somebody asked for it
  fs::create_directory_symlink(other, base_ / "asked");
  EXPECT_TRUE(write_sheets((base_ / "asked").string(), kSecond));
}

TEST_F(SheetFolder, AnIncompleteSetIsSaidAndMadeWhole) {
  ASSERT_TRUE(write_sheets(at(), kFirst));
  // as a kill after the first rename leaves it
  SheetHashes both = *listed(there("sheets.txt"));
  for (const auto& [name, bytes] : kSecond) both[name].insert(serve::hash_of(bytes));
  put(kIncomplete, list_text("not whole", both));
  put("a.pdf", "10");
  fs::create_directories(base_ / "sheets/.halfround-4711/cut");
  fs::create_directories(base_ / "sheets/.halfround-mine");
  const auto written = write_sheets(at(), kFirst);
  ASSERT_TRUE(written) << base::sentence(written.error());
  EXPECT_TRUE(written->was_incomplete);
  EXPECT_EQ(there("a.pdf"), "1");
  EXPECT_FALSE(has(kIncomplete));
  EXPECT_FALSE(has(".halfround-4711"));
  EXPECT_TRUE(has(".halfround-mine"));
}

TEST_F(SheetFolder, TwoAtOnceAreNotMixed) {
  fs::create_directories(at());
  const int other = ::open(at().c_str(), O_RDONLY | O_DIRECTORY);
  ASSERT_EQ(::flock(other, LOCK_EX), 0);
  const auto refused = write_sheets(at(), kFirst);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.error().what.find("another halfround"), std::string::npos) << refused.error().what;
  ::close(other);
  EXPECT_TRUE(write_sheets(at(), kFirst));
}

/// Sets of sixty files, killed while they are exchanged. HALFROUND_MAKE_KILLS says how often.
TEST_F(SheetFolder, KilledAnywhereTheSetIsWholeOrSaysThatItIsNot) {
  const char* said = std::getenv("HALFROUND_MAKE_KILLS");
  const int kills = said != nullptr ? std::atoi(said) : 60;
  std::mt19937 random(20261130);
  int old = 0, fresh = 0, marked = 0;
  const auto set = [](int n) {
    Files out;
    for (int i = 0; i < 60; ++i)
      out.emplace_back((i % 3 == 0   ? "cut/"
                        : i % 3 == 1 ? "tables/"
                                     : "") +
                           std::string("s") + std::to_string(i % 2 == 0 ? i : 1000 * n + i),
                       std::string(2000, static_cast<char>('a' + n % 26)) + std::to_string(n));
    return out;
  };
  ASSERT_TRUE(write_sheets(at(), set(0)));
  const auto start = std::chrono::steady_clock::now();
  ASSERT_TRUE(write_sheets(at(), set(1)));
  const std::chrono::duration<double> one = std::chrono::steady_clock::now() - start;
  for (int n = 2; n < kills + 2; ++n) {
    const pid_t child = ::fork();
    if (child == 0) ::_exit(write_sheets(at(), set(n)) ? 0 : 1);
    std::this_thread::sleep_for(std::uniform_real_distribution<>(0.2, 1.5)(random) * one);
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    if (has(kIncomplete)) {
      ++marked;
    } else {
      const auto list = listed(there("sheets.txt"));
      ASSERT_TRUE(list) << n;
      EXPECT_EQ(list->size(), 60U);
      const std::string first = there(list->begin()->first).substr(2000);
      first == std::to_string(n) ? ++fresh : ++old;
      std::size_t files = 0;
      for (const auto& entry : fs::recursive_directory_iterator(at()))
        if (entry.is_regular_file() && entry.path().string().find("/.halfround-") == std::string::npos)
          ++files;
      EXPECT_EQ(files, 61U) << n << ": a mixed folder that doesn't say so";
      for (const auto& [name, hashes] : *list) {
        EXPECT_TRUE(hashes.contains(serve::hash_of(there(name)))) << n << " " << name;
        EXPECT_EQ(there(name).substr(2000), first) << n << ": a mixed folder that doesn't say so";
      }
    }
    if (n % 2 == 0) {
      const auto whole = write_sheets(at(), set(n));
      ASSERT_TRUE(whole) << n << base::sentence(whole.error());
      EXPECT_TRUE(whole->left.empty()) << n;
      int files = 0;
      for (const auto& entry : fs::recursive_directory_iterator(at())) files += entry.is_regular_file();
      EXPECT_EQ(files, 61) << n;
    }
  }
  std::cout << kills << " kills: " << old << " left the old set, " << fresh << " the new one, " << marked
            << " a set marked incomplete, 0 were mixed without saying so\n";
}

}  // namespace
}  // namespace halfround::cli
