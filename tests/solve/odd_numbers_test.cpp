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
#include "job/starter.h"
#include "solve/solve.h"

namespace halfround::solve {
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

/// Laid out, or solved whole, and what was thrown; "" where it ended in a fork or a sentence.
std::string thrown_by(const std::string& text, bool whole = false) {
  try {
    const auto job = job::read_job(text, "odd.toml");
    if (!job) return "";
    const auto answer = whole ? solve(*job) : laid_out(*job);
    if (!answer &&
        (answer.error().code.empty() || answer.error().what.empty() || answer.error().fits.empty()))
      return "a refusal without a sentence";
    return "";
  } catch (const std::exception& e) {
    return e.what();
  }
}

TEST(OddNumbers, ABladeInsideTheHubLeftTheSearchWithoutABracket) {
  for (const std::string& fork : forks()) {
    for (const char* width : {"41.7862", "30", "0", "12.34"}) {
      for (const char* from_hub : {"-40", "-39.9", "-20.8931", "60"}) {
        const auto text = job::edited_text(
            fork, {{"hub.over_locknut", width}, {"lower_end.blade_from_hub", from_hub}}, "odd.toml");
        ASSERT_TRUE(text);
        EXPECT_EQ(thrown_by(*text), "") << width << " " << from_hub;
      }
    }
  }
}

TEST(OddNumbers, TheTwoOfTheOldMistakeAloneAndTogetherInEveryForkSolvedWhole) {
  std::vector<std::string> all = forks();
  all.push_back(job::starter_job());
  using Typed = std::vector<job::Edit>;
  const job::Edit width{"hub.over_locknut", "41.7862"}, inches{"hub.over_locknut", "1.64513 in"};
  const job::Edit from_hub{"lower_end.blade_from_hub", "-40"}, wide{"hub.over_locknut", "96"};
  for (const std::string& fork : all) {
    for (const Typed& edits : {Typed{width}, Typed{from_hub}, Typed{width, from_hub}, Typed{inches, from_hub},
                               Typed{from_hub, wide}, Typed{{from_hub.key, "-20.8931"}, width}}) {
      const auto text = job::edited_text(fork, edits, "odd.toml");
      ASSERT_TRUE(text) << text.error().what;
      EXPECT_EQ(thrown_by(*text, true), "") << *text;
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
    std::vector<job::Edit> edits;
    const auto fields = job::fields_of(fork, "odd.toml");
    for (const job::Field& field : *fields) {
      const job::Row* row = job::find_row(job::schema(), field.key);
      const bool number = row != nullptr && (row->form == job::Form::length || row->form == job::Form::angle);
      if (!number || random() % 8 != 0) continue;
      const double part = random() % 3 == 0 ? static_cast<double>(random() % 2) : random() / 4294967296.0;
      edits.push_back({field.key, fmt::format("{:.4f}", row->least + part * (row->most - row->least))});
    }
    const auto text = job::edited_text(fork, edits, "odd.toml");
    ASSERT_TRUE(text);
    const std::string thrown = thrown_by(*text);
    EXPECT_EQ(thrown, "") << *text;
    ++made;
  }
  std::printf("%d rounds\n", made);
}

}  // namespace
}  // namespace halfround::solve
