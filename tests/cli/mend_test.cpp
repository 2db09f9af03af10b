// replan and fitup as a builder calls them: exit codes, what is written and what is left alone.
#include "cli/mend.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/commands.h"

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;

std::string slurp(const fs::path& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

class Mend : public testing::Test {
 protected:
  void SetUp() override {
    folder = fs::temp_directory_path() / ("halfround-mend-" + std::to_string(getpid()));
    fs::create_directories(folder);
  }
  void TearDown() override { fs::remove_all(folder); }

  std::string job(const std::string& more) {
    return put("job.toml", slurp(SOURCE_DIR "/examples/island-mail/fork.toml") + "\n" + more);
  }
  std::string put(const std::string& name, const std::string& text) {
    std::ofstream(folder / name, std::ios::binary) << text;
    return (folder / name).string();
  }

  fs::path folder;
  std::ostringstream out, err;
};

TEST_F(Mend, TheStoryOfAShortBlade) {
  const std::string path = job("[done.blades.left]\nshort_by = 1.4\n");
  const std::string next = (folder / "next.toml").string();
  ASSERT_EQ(replan(path, {1, next}, false, out, err), kDone) << err.str();
  EXPECT_NE(out.str().find("1.4 mm less than planned"), std::string::npos) << out.str();
  // the new job makes the fork, and there is nothing left to mend
  out.str("");
  ASSERT_EQ(solve(next, "", true, out, err), kDone) << err.str();
  EXPECT_NEAR(nlohmann::json::parse(out.str())["steering"]["axle_to_crown_straight"].get<double>(), 407,
              1e-6);
  out.str("");
  ASSERT_EQ(replan(next, {}, true, out, err), kDone) << err.str();
  const auto j = nlohmann::json::parse(out.str());
  EXPECT_LT(j["ways"][0]["cost"].get<double>(), 1e-6);
  EXPECT_NE(slurp(next).find("# clearance = 8"), std::string::npos) << slurp(next);
  // what is there is left alone
  const std::string before = slurp(next);
  EXPECT_EQ(replan(path, {1, next}, false, out, err), kFiles);
  EXPECT_EQ(slurp(next), before);
}

TEST_F(Mend, WhatCantBeIsRefusedAndNothingWritten) {
  const std::string next = (folder / "next.toml").string();
  const std::string path = job("[done.blades.left]\nshort_by = 1.4\n");
  EXPECT_EQ(replan(path, {99, next}, false, out, err), kUsage);
  EXPECT_NE(err.str().find("no way 99"), std::string::npos);
  EXPECT_EQ(replan(job("[done]\nbelow_seat = 250\nsteerer_length = 240\n"), {1, next}, false, out, err),
            kJobMistakes);
  EXPECT_NE(err.str().find("done.steerer_length in line"), std::string::npos) << err.str();
  EXPECT_EQ(replan(job("[done.blades.left]\nshort_by = 1.4\n[freedoms]\nclearance = 0\nsplay = 0\n"), {},
                   false, out, err),
            kLimitMissed);
  EXPECT_EQ(replan((folder / "none.toml").string(), {}, false, out, err), kFiles);
  EXPECT_FALSE(fs::exists(next));
}

TEST_F(Mend, FitUpByFileOrByWords) {
  const std::string path = job("");
  const std::string readings =
      put("readings.toml",
          "end = \"left blade, lower end\"\ntouch = [0, 60, 120]\ngaps = [[180, 0.2], [270, 0.1]]\n");
  ASSERT_EQ(fit_up(path, readings, {}, false, out, err), kDone) << err.str();
  const std::string by_file = out.str();
  out.str("");
  ASSERT_EQ(
      fit_up(path, "", {"left blade, lower end", "0 60 120", "180=0.2 270=0.1", "", "", ""}, false, out, err),
      kDone);
  EXPECT_EQ(out.str(), by_file);
  EXPECT_EQ(fit_up(path, "", {"left blade, lower end", "0", "", "", "", ""}, false, out, err), kJobMistakes);
  // a reading where the tube passes beside
  EXPECT_EQ(fit_up(path, "", {"left blade, upper end", "0 85", "", "", "", ""}, false, out, err),
            kJobMistakes);
  EXPECT_NE(err.str().find("passes beside"), std::string::npos) << err.str();
  EXPECT_EQ(fit_up(path, put("bad.toml", "end = \n"), {}, true, out, err), kJobMistakes);
}

TEST_F(Mend, AProofSaysWhatTheReadingMeansAndAsksForALength) {
  const std::string path = job("");
  ASSERT_EQ(proof(path, "", "", out, err), kDone) << err.str();
  EXPECT_NE(out.str().find("push the axle to the rear with 1000 N"), std::string::npos) << out.str();
  out.str("");
  EXPECT_EQ(proof(path, "10.4", "", out, err), kDone);
  EXPECT_NE(out.str().find("as calculated"), std::string::npos) << out.str();
  const std::string in_mm = out.str();
  out.str("");
  EXPECT_EQ(proof(path, "1.04 cm", "", out, err), kDone);
  EXPECT_EQ(out.str(), in_mm);
  EXPECT_EQ(proof(path, "14", "", out, err), kLimitMissed);
  EXPECT_EQ(proof(path, "10.4", "1.5", out, err), kLimitMissed);
  EXPECT_EQ(err.str(), "");
  EXPECT_EQ(proof(path, "banana", "", out, err), kUsage);
  EXPECT_EQ(proof(path, "-3", "", out, err), kUsage);
  EXPECT_NE(err.str().find("--moved"), std::string::npos) << err.str();
  const std::string none =
      put("none.toml",
          slurp(path) +
              "\n[strength]\nleave_out = [{load = \"static bending\", reason = \"a fork for the stand\"}]\n");
  EXPECT_EQ(proof(none, "5", "", out, err), kNoSuchFork);
}

}  // namespace
}  // namespace halfround::cli
