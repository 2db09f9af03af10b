// Random keys and values into every example; HALFROUND_FUZZ_ROUNDS says how many rounds, 1000 unless it does.
#include "fuzz/edit_round.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "job/shop_schema.h"

namespace halfround::job {
namespace {

TEST(EditRound, WhateverIsTypedTheTextStillParsesAndNothingElseChanges) {
  const char* wanted = std::getenv("HALFROUND_FUZZ_ROUNDS");
  const long rounds = wanted != nullptr ? std::strtol(wanted, nullptr, 10) : 1000;
  std::mt19937 random(20261130);
  std::vector<std::filesystem::path> files;
  for (const auto& e : std::filesystem::recursive_directory_iterator(SOURCE_DIR "/examples"))
    if (e.path().extension() == ".toml") files.push_back(e.path());
  std::ranges::sort(files);
  ASSERT_GE(files.size(), 6U);
  for (long round = 0; round < rounds; ++round) {
    const auto& file = files[static_cast<std::size_t>(round) % files.size()];
    std::ostringstream read;
    read << std::ifstream(file, std::ios::binary).rdbuf();
    Edited now(read.str());
    const auto rows = file.filename() == "shop.toml" ? shop_schema() : schema();
    std::string bytes(24 + random() % 100, '\0');
    for (char& b : bytes) b = static_cast<char>(random());
    Choices choices(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    while (choices.more()) now = edit_round(std::move(now), choices, rows);
  }
  std::printf("%ld rounds\n", rounds);
}

TEST(EditRound, ACellBelowATextEndedTheProgram) {
  for (const auto& e : std::filesystem::recursive_directory_iterator(SOURCE_DIR "/examples")) {
    if (e.path().filename() != "fork.toml") continue;
    std::ostringstream read;
    read << std::ifstream(e.path(), std::ios::binary).rdbuf();
    for (const char* key :
         {"wheel.tyre.half_profile[1].half_width", "wheel.tyre.half_profile[3].below_top"}) {
      const auto out = edited_text(read.str(), {{key, "1"}}, "job");
      if (!out) {
        EXPECT_EQ(out.error().code, "edit-unplaced");
        EXPECT_EQ(out.error().where.key, key);
      }
    }
  }
}

}  // namespace
}  // namespace halfround::job
