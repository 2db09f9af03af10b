// The help as a person meets it who has not read the documents.
#include "cli/help.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "cli/commands.h"

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;

class Help : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("halfround-help-" + std::to_string(::getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }

  /// Runs a line as typed in an empty folder; what it says goes into `said`.
  int run(const std::string& line) {
    const std::string in = "cd '" + folder_.string() +
                           "' && PATH='" BINARY_DIR "/bin':\"$PATH\" XDG_DATA_HOME='" + folder_.string() +
                           "/data' " + line + " >said 2>&1";
    const int status = std::system(("export PATH; " + in).c_str());
    std::ostringstream text;
    text << std::ifstream(folder_ / "said").rdbuf();
    said = text.str();
    return WEXITSTATUS(status);
  }

  std::string said;

 private:
  fs::path folder_;
};

TEST_F(Help, GroupsTheCommandsByWhatAPersonWantsToDo) {
  ASSERT_EQ(run("halfround --help"), kDone);
  std::size_t at = 0;
  for (const char* words :
       {"\nBegin a fork\n", "\n  new ", "\n  import ", "\nSee whether it works\n", "\n  check ", "\n  solve ",
        "\nMake the sheets\n", "\n  make ", "\nWhen the steel differs from the plan\n", "\n  replan ",
        "\n  fitup ", "\n  stands ", "\nThe page and the job book\n", "\n  serve ", "\n  keep ",
        "\n  jobs "}) {
    const std::size_t found = said.find(words, at);
    ASSERT_NE(found, std::string::npos) << words << "\n" << said;
    at = found;
  }
}

TEST_F(Help, OfEachCommandSaysWhatItTakesInOurWordsAndEndsWithAnExample) {
  for (const CommandRow& row : command_rows()) {
    const std::string name(row.name);
    ASSERT_EQ(run("halfround " + name + " --help"), kDone) << said;
    EXPECT_TRUE(said.starts_with(row.does)) << said;
    EXPECT_NE(said.find("\n  halfround " + name), std::string::npos) << said;
    EXPECT_TRUE(said.ends_with("\nExample: " + std::string(row.example) + "\n")) << said;
    for (const char* foreign : {"TEXT", "REQUIRED", "OPTIONS", "SUBCOMMAND", "INT", "FLOAT"})
      EXPECT_EQ(said.find(foreign), std::string::npos) << foreign << "\n" << said;
    std::istringstream lines(said);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 120u) << line;
  }
}

TEST_F(Help, ItsExamplesAreLinesThatTheCommandTakes) {
  for (const CommandRow& row : command_rows()) {
    if (row.name == "serve") continue;  // it goes on until it is stopped
    EXPECT_TRUE(row.example.starts_with("halfround " + std::string(row.name))) << row.example;
    EXPECT_NE(run(std::string(row.example)), kUsage) << row.example << "\n" << said;
  }
}

}  // namespace
}  // namespace halfround::cli
