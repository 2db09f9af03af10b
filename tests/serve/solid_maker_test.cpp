// Solids are made in a process of their own: whatever becomes of it, an answer comes, and in time.
#include "serve/solid_maker.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace halfround::serve {
namespace {

namespace fs = std::filesystem;
using std::chrono::milliseconds;
using std::chrono::seconds;

std::string read(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

class Solids : public testing::Test {
 protected:
  void SetUp() override {
    folder = fs::temp_directory_path() / ("halfround-solids-" + std::to_string(::getpid()));
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  void TearDown() override { fs::remove_all(folder); }

  /// A stand-in that notes every start as a line of "starts".
  std::string program(const std::string& does) {
    const fs::path path = folder / "program.sh";
    std::ofstream(path) << "#!/bin/sh\necho x >> " << (folder / "starts").string() << "\n" << does << "\n";
    fs::permissions(path, fs::perms::owner_all);
    return path.string();
  }
  int starts() {
    const std::string text = read(folder / "starts");
    return static_cast<int>(std::count(text.begin(), text.end(), '\n'));
  }

  fs::path folder;
  const std::string job = read(SOURCE_DIR "/examples/island-mail/fork.toml");
};

TEST_F(Solids, AreMadeInAnotherProcess) {
  SolidMaker maker(solids_program(), seconds(200));
  const auto step = maker.make(SolidFile::step, job);
  ASSERT_TRUE(step) << base::sentence(step.error());
  EXPECT_TRUE(step->starts_with("ISO-10303-21;"));
  const auto glb = maker.make(SolidFile::glb, job), view = maker.make(SolidFile::view, job);
  ASSERT_TRUE(glb && view);
  EXPECT_TRUE(*glb == *view);
  EXPECT_TRUE(glb->starts_with("glTF"));
}

TEST_F(Solids, ThatNeverComeAreGivenUpWithASentenceAndNotTriedAgain) {
  SolidMaker maker(program("exec sleep 1000"), milliseconds(400));
  const auto first = maker.make(SolidFile::step, job);
  ASSERT_FALSE(first);
  EXPECT_EQ(first.error().code, "solid-too-slow");
  EXPECT_NE(first.error().what.find("The STEP file of the solids is missing"), std::string::npos)
      << first.error().what;
  ASSERT_FALSE(maker.make(SolidFile::step, job));
  EXPECT_EQ(starts(), 1);
  ASSERT_FALSE(maker.make(SolidFile::glb, job));  // another file may well be made
  EXPECT_EQ(starts(), 2);
}

TEST_F(Solids, ThatCrashTheLibraryAreASentence) {
  SolidMaker maker(program("exit 3"), seconds(100));
  const auto made = maker.make(SolidFile::view, job);
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, "solid-stopped");
}

TEST_F(Solids, OfTheNextJobAreMadeAfterACrash) {
  SolidMaker maker(program("if [ $(wc -l < " + (folder / "starts").string() + ") -gt 1 ]; then exec " +
                           fs::path(BINARY_DIR "/bin/halfround").string() + " \"$@\"; fi; kill -SEGV $$"),
                   seconds(200));
  ASSERT_FALSE(maker.make(SolidFile::view, job));
  const auto next = maker.make(SolidFile::view, job + "\n# another text\n");
  ASSERT_TRUE(next) << base::sentence(next.error());
  EXPECT_TRUE(next->starts_with("glTF"));
}

TEST_F(Solids, WithoutTheirProgramAreASentence) {
  SolidMaker maker((folder / "nobody").string());
  const auto made = maker.make(SolidFile::step, job);
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, "solid-no-program");
}

TEST_F(Solids, OfAJobWithMistakesAreRefusedAsTheJobIs) {
  SolidMaker maker(solids_program(), seconds(200));
  const auto made = maker.make(SolidFile::step, "version = 1\n");
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, "key-missing");
}

}  // namespace
}  // namespace halfround::serve
