// Numbers the grammar allows and nobody would build: a fork, or a sentence, never a mistake of our own.
// HALFROUND_FUZZ_ROUNDS says how many rounds, 600 unless it does.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "job/edit.h"
#include "job/read.h"
#include "job/schema.h"
#include "job/solve.h"

namespace halfround::job {
namespace {

std::vector<std::string> forks() {
  std::vector<std::string> out;
  for (const auto& e : std::filesystem::recursive_directory_iterator(SOURCE_DIR "/examples")) {
    if (e.path().filename() != "fork.toml") continue;
    std::ostringstream text;
    text << std::ifstream(e.path(), std::ios::binary).rdbuf();
    out.push_back(text.str());
  }
  std::ranges::sort(out);
  return out;
}

/// Laid out, and what was thrown; "" where it ended in a fork or a sentence.
std::string thrown_by(const std::string& text) {
  try {
    const auto job = read_job(text, "odd.toml");
    if (job) (void)laid_out(*job);
    return "";
  } catch (const std::exception& e) {
    return e.what();
  }
}

TEST(OddNumbers, ABladeInsideTheHubLeftTheSearchWithoutABracket) {
  for (const std::string& fork : forks()) {
    for (const char* width : {"41.7862", "30", "0", "12.34"}) {
      for (const char* from_hub : {"-40", "-39.9", "-20.8931", "60"}) {
        const auto text = edited_text(
            fork, {{"hub.over_locknut", width}, {"lower_end.blade_from_hub", from_hub}}, "odd.toml");
        ASSERT_TRUE(text);
        EXPECT_EQ(thrown_by(*text), "") << width << " " << from_hub;
      }
    }
  }
}

TEST(OddNumbers, AnyNumbersOfTheGrammarEndInAForkOrASentence) {
  const char* wanted = std::getenv("HALFROUND_FUZZ_ROUNDS");
  const long rounds = wanted != nullptr ? std::strtol(wanted, nullptr, 10) : 600;
  std::mt19937 random(20261130);
  const auto all = forks();
  int made = 0;
  for (long round = 0; round < rounds; ++round) {
    const std::string& fork = all[static_cast<std::size_t>(round) % all.size()];
    std::vector<Edit> edits;
    const auto fields = fields_of(fork, "odd.toml");
    for (const Field& field : *fields) {
      const Row* row = find_row(schema(), field.key);
      const bool number = row != nullptr && (row->form == Form::length || row->form == Form::angle);
      if (!number || random() % 8 != 0) continue;
      const double part = random() % 3 == 0 ? static_cast<double>(random() % 2) : random() / 4294967296.0;
      edits.push_back({field.key, fmt::format("{:.4f}", row->least + part * (row->most - row->least))});
    }
    const auto text = edited_text(fork, edits, "odd.toml");
    ASSERT_TRUE(text);
    const std::string thrown = thrown_by(*text);
    EXPECT_EQ(thrown, "") << *text;
    ++made;
  }
  std::printf("%d rounds\n", made);
}

}  // namespace
}  // namespace halfround::job
