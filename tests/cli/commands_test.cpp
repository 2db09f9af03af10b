// The command as a builder meets it: exit codes, located sentences, nothing half-written.
#include "cli/commands.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "cli/sheet_list.h"

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;

const std::string kExample = SOURCE_DIR "/examples/island-mail/fork.toml";

std::string read(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

class Command : public testing::Test {
 protected:
  void SetUp() override {
    folder = fs::temp_directory_path() / ("halfround-test-" + std::to_string(::getpid()) + "-" +
                                          testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  void TearDown() override { fs::remove_all(folder); }

  std::string write(const std::string& text) {
    const fs::path path = folder / "job.toml";
    std::ofstream(path, std::ios::binary) << text;
    return path.string();
  }
  /// The example with one piece of text exchanged.
  std::string example_with(const std::string& from, const std::string& to) {
    std::string text = read(kExample);
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    text.replace(at, from.size(), to);
    return write(text);
  }
  int run_check(const std::string& job) {
    out.str(""), err.str("");
    return check(job, false, out, err);
  }

  fs::path folder;
  std::ostringstream out, err;
};

TEST_F(Command, MakeWritesEverySheetAndSaysWhat) {
  const fs::path sheets = folder / "sheets";
  ASSERT_EQ(make(kExample, sheets.string(), out, err), kDone) << err.str();
  const auto list = listed(read(sheets / "sheets.txt"));
  ASSERT_TRUE(list);
  int count = 0;
  for (const auto& [name, hashes] : *list) {
    ++count;
    EXPECT_GT(fs::file_size(sheets / name), name.ends_with(".csv") ? 50u : 500u) << name;
    EXPECT_NE(out.str().find(name), std::string::npos) << name;
  }
  EXPECT_GE(count, 6);
  for (const auto& entry : fs::directory_iterator(sheets)) {
    EXPECT_NE(entry.path().filename().string()[0], '.') << "left over: " << entry.path();
  }
}

TEST_F(Command, TheSameJobGivesTheSameBytes) {
  ASSERT_EQ(make(kExample, (folder / "a").string(), out, err), kDone);
  ASSERT_EQ(make(kExample, (folder / "b").string(), out, err), kDone);
  int files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(folder / "a")) {
    if (entry.is_directory()) continue;
    EXPECT_TRUE(read(entry.path()) == read(folder / "b" / fs::relative(entry.path(), folder / "a")))
        << entry.path();
    ++files;
  }
  EXPECT_GE(files, 20);
}

TEST_F(Command, SheetsNoLongerMadeAreRemovedStrangersAndChangedOnesStay) {
  const fs::path sheets = folder / "sheets";
  ASSERT_EQ(make(kExample, sheets.string(), out, err), kDone);
  ASSERT_TRUE(fs::exists(sheets / "solid/fork.step"));
  std::ofstream(sheets / "mine.txt") << "keep";
  std::ofstream(sheets / "solid/fork.glb", std::ios::app) << "painted";
  ASSERT_EQ(make(kExample, sheets.string(), out, err, "", false), kDone) << err.str();
  EXPECT_FALSE(fs::exists(sheets / "solid/fork.step"));
  EXPECT_TRUE(fs::exists(sheets / "mine.txt"));
  EXPECT_TRUE(fs::exists(sheets / "solid/fork.glb"));
  EXPECT_NE(err.str().find("fork.glb is no longer made, but was changed"), std::string::npos) << err.str();
}

TEST_F(Command, AFolderWithSomebodysListIsCodeFiveAndStaysAsItIs) {
  const fs::path sheets = folder / "sheets";
  fs::create_directories(sheets);
  std::ofstream(sheets / "sheets.txt") << "letter.txt\n";
  std::ofstream(sheets / "letter.txt") << "dear";
  EXPECT_EQ(make(kExample, sheets.string(), out, err, "", false), kFiles);
  EXPECT_NE(err.str().find("is no list of ours"), std::string::npos) << err.str();
  EXPECT_EQ(read(sheets / "letter.txt"), "dear");
  EXPECT_EQ(std::distance(fs::directory_iterator(sheets), {}), 2);
}

TEST_F(Command, AJobWithMistakesMakesNothing) {
  const std::string job = example_with("over_locknut", "over_lockenut");
  const fs::path sheets = folder / "sheets";
  EXPECT_EQ(make(job, sheets.string(), out, err), kJobMistakes);
  EXPECT_FALSE(fs::exists(sheets));
  EXPECT_NE(err.str().find("line "), std::string::npos) << err.str();
  EXPECT_NE(err.str().find("over_locknut"), std::string::npos) << err.str();
}

TEST_F(Command, AFolderThatCantBeWrittenIsCodeFive) {
  EXPECT_EQ(make(kExample, "/proc/halfround", out, err), kFiles);
  EXPECT_NE(err.str().find("/proc/halfround"), std::string::npos) << err.str();
}

TEST_F(Command, AMissingFileAFolderAndAHugeFileAreCodeFive) {
  EXPECT_EQ(run_check((folder / "none.toml").string()), kFiles);
  EXPECT_NE(err.str().find("no such file"), std::string::npos) << err.str();
  EXPECT_EQ(run_check(folder.string()), kFiles);
  fs::resize_file(write("x"), 50u << 20);
  EXPECT_EQ(run_check((folder / "job.toml").string()), kFiles);
  EXPECT_NE(err.str().find("50 MB"), std::string::npos) << err.str();
}

TEST_F(Command, BrokenFilesGetASentenceAndCodeThree) {
  const std::string nested = "a = " + std::string(3000, '[') + std::string(3000, ']');
  for (const std::string& text :
       {std::string(), std::string("\0\x01\xff\xfe", 4), nested, std::string("version = 1\nversion = 1\n"),
        std::string("= 3"), std::string(2 << 20, '#')}) {
    EXPECT_EQ(run_check(write(text)), kJobMistakes) << text.substr(0, 40);
    EXPECT_GT(err.str().size(), 20u);
    EXPECT_EQ(out.str(), "");
  }
}

TEST_F(Command, ForksThatCantBeHadAreCodeFour) {
  // far more air than these blades can give
  const std::string text = read(kExample);
  const auto at = text.find("clearance");
  ASSERT_NE(at, std::string::npos);
  std::string wide = text;
  const auto line_start = wide.rfind('\n', wide.find("clearance", wide.find("[wishes]"))) + 1;
  wide.replace(line_start, wide.find('\n', line_start) - line_start, "clearance = 28");
  EXPECT_EQ(run_check(write(wide)), kNoSuchFork) << err.str();
  EXPECT_NE(err.str().find("nearest"), std::string::npos) << err.str();
  EXPECT_NE(err.str().find("line "), std::string::npos) << err.str();
}

TEST_F(Command, ALimitThatIsNotMetIsCodeSix) {
  const std::string slip = SOURCE_DIR "/examples/slip-mail/fork.toml";  // it is there to show one
  EXPECT_EQ(run_check(slip), kLimitMissed) << err.str();
  EXPECT_NE(out.str().find("not met"), std::string::npos) << out.str();
  // the same question as JSON has the same code, and says which lines
  out.str("");
  EXPECT_EQ(check(slip, true, out, err), kLimitMissed);
  int missed = 0;
  const auto j = nlohmann::json::parse(out.str());
  for (const auto& v : j["verdicts"]) missed += v["standing"] == "not met";
  EXPECT_GT(missed, 0);
}

TEST_F(Command, AMissingShopFileAsksForAShopFile) {
  EXPECT_EQ(solve(kExample, (folder / "none.toml").string(), false, out, err), kFiles);
  EXPECT_NE(err.str().find("a shop file"), std::string::npos) << err.str();
  EXPECT_EQ(err.str().find("job file"), std::string::npos) << err.str();
}

TEST_F(Command, ANameWithAnEmojiIsAnErrorOfItsLine) {
  const std::string job = example_with("name = \"island mail\"", "name = \"island mail \U0001F6B2\"");
  EXPECT_EQ(make(job, (folder / "s").string(), out, err), kJobMistakes) << err.str();
  EXPECT_NE(err.str().find("job.toml, line 6, job.name"), std::string::npos) << err.str();
  EXPECT_FALSE(fs::exists(folder / "s"));
}

TEST_F(Command, AVersionIsNotAskedForFromOneToOne) {
  EXPECT_EQ(run_check(example_with("version = 1", "version = 7")), kJobMistakes);
  EXPECT_EQ(err.str().find("from 1 to 1"), std::string::npos) << err.str();
}

TEST_F(Command, AShopAddsWhatItsMachinesAreSetTo) {
  const std::string shop = SOURCE_DIR "/examples/island-mail/shop.toml";
  ASSERT_EQ(solve(kExample, shop, false, out, err), kDone) << err.str();
  for (const char* words : {"At the machine", "LEFT blade, upper end", "RIGHT blade, upper end",
                            "greatest gap", "At the fixture", "stepped insert"})
    EXPECT_NE(out.str().find(words), std::string::npos) << words;
  EXPECT_EQ(solve(kExample, write("[shop]\n"), false, out, err), kJobMistakes);
  EXPECT_EQ(solve(kExample, (folder / "none.toml").string(), false, out, err), kFiles);
}

TEST_F(Command, SolveAsJsonIsWholeAndWithinItsPromises) {
  ASSERT_EQ(solve(kExample, "", true, out, err), kDone) << err.str();
  const auto j = nlohmann::json::parse(out.str());
  EXPECT_EQ(j["frame"], "fork");
  for (const auto& m : j["members"]) {
    double before = -1e9;
    for (const auto& st : m["stations"]) {
      const double s = st["s"];
      if (before > -1e8) {
        EXPECT_LE(s - before, 1.0 + 1e-9);
      }
      before = s;
    }
  }
  EXPECT_EQ(j["mitres"].size(), 4u);
  for (const auto& m : j["mitres"]) {
    EXPECT_EQ(m["clock"].size(), 24u);
    EXPECT_EQ(m["template"].size(), m["template_clock_deg"].size());
    EXPECT_GT(m["outer"].size(), 100u);
    EXPECT_GT(m["inner"].size(), 100u);
  }
}

TEST_F(Command, ProblemsComeAsJsonToo) {
  EXPECT_EQ(check(write("version = 1\n"), true, out, err), kJobMistakes);
  const auto j = nlohmann::json::parse(out.str());
  EXPECT_GT(j["problems"].size(), 3u);
  EXPECT_FALSE(j["problems"][0]["sentence"].get<std::string>().empty());
}

TEST_F(Command, NewWritesAStarterThatMakesSheetsAndIsNeverWrittenOver) {
  const std::string path = (folder / "mine.toml").string();
  ASSERT_EQ(start(path, out, err), kDone);
  EXPECT_EQ(make(path, (folder / "s").string(), out, err), kDone) << err.str();
  const std::string before = read(path);
  EXPECT_EQ(start(path, out, err), kFiles);
  EXPECT_EQ(read(path), before);
}

TEST_F(Command, WrongWordsAreToldInPlainSentences) {
  const auto told = [&](const std::string& words) {
    const fs::path said = folder / "said";
    const int status = std::system(
        (std::string(BINARY_DIR "/bin/halfround ") + words + " >/dev/null 2>" + said.string()).c_str());
    EXPECT_NE(status, 0) << words;
    return read(said);
  };
  const auto expect = [&](const std::string& words, const std::string& sentence) {
    const std::string said = told(words);
    EXPECT_NE(said.find(sentence), std::string::npos) << words << "\n" << said;
    for (const char* foreign : {"Error", "INT", "subcommand"})
      EXPECT_EQ(said.find(foreign), std::string::npos) << words << "\n" << said;
  };
  expect("", "A command is missing.");
  expect("chek my.toml", "There is no command chek. Did you mean check?");
  expect("polymerise", "There is no command polymerise.\n");
  expect("--hepl", "There is no option --hepl without a command. Did you mean --help?");
  expect("make", "make needs a job file: halfround make JOB");
  expect("make my.toml --shp shop.toml", "make has no option --shp. Did you mean --shop?");
  expect("jobs bakup book.db", "jobs has no bakup. Did you mean backup?");
  expect("jobs backup", "jobs backup needs a file: halfround jobs backup FILE");
  expect("check --jsn my.toml", "check has no option --jsn. Did you mean --json?");
  expect("check a.toml b.toml", "check does not take \"b.toml\" as well");
  expect("serve --port x", "--port needs a whole number.");
  expect("solve my.toml --shop", "--shop needs a value after it");
  expect("replan my.toml --take 2", "--take says nothing without --write.");
}

TEST_F(Command, WrongWordsAreCodeTwo) {
  const std::string program = BINARY_DIR "/bin/halfround";
  const auto code = [&](const std::string& words) {
    const int status = std::system((program + " " + words + " >/dev/null 2>&1").c_str());
    return WEXITSTATUS(status);
  };
  EXPECT_EQ(code(""), kUsage);
  EXPECT_EQ(code("bake x"), kUsage);
  EXPECT_EQ(code("make"), kUsage);
  EXPECT_EQ(code("make a b"), kUsage);
  EXPECT_EQ(code("--help"), kDone);
  EXPECT_EQ(code("solve " + kExample), kDone);
  EXPECT_EQ(code("solve /nowhere.toml"), kFiles);
}

}  // namespace
}  // namespace halfround::cli
