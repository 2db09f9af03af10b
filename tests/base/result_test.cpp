#include "base/result.h"

#include <gtest/gtest.h>

namespace halfround::base {
namespace {

TEST(Sentence, SaysWhereWhatAndWhatWouldFit) {
  EXPECT_EQ(sentence({"length-expected",
                      {"island.toml", 14, 0, "blades.stock_length"},
                      "found -3 mm.",
                      "Give a length above 0, e.g. 420 mm."}),
            "island.toml, line 14, blades.stock_length: found -3 mm. Give a length above 0, e.g. 420 mm.");
}

TEST(Sentence, LeavesOutWhatIsNotKnown) {
  EXPECT_EQ(sentence({"x", {}, "found nothing.", ""}), "found nothing.");
  EXPECT_EQ(sentence({"x", {"", 0, 0, "blade.left"}, "found nothing.", ""}), "blade.left: found nothing.");
  EXPECT_EQ(sentence({"x", {"island.toml", 0, 0, ""}, "found nothing.", "Give one."}),
            "island.toml: found nothing. Give one.");
}

std::string on_the_heap(bool throws) {
  check(!throws, "asked to");
  return std::string(60, 'x');
}

// 2026-12-01: g++ 12 freed the place's strings twice when a later part threw; the process ended there.
TEST(Problem, WhosePartsThrowWhileItIsMadeIsCaught) {
  for (const bool what : {true, false}) {
    const auto made = [&] {
      return Problem{on_the_heap(false),
                     {on_the_heap(false), 1, 2, on_the_heap(false)},
                     on_the_heap(what),
                     on_the_heap(!what)};
    };
    EXPECT_THROW(static_cast<void>(made()), Bug);
    Problems all;
    EXPECT_THROW(all.push_back(made()), Bug);
  }
}

TEST(Check, ThrowsABugInEveryBuild) {
  EXPECT_NO_THROW(check(true, "never"));
  EXPECT_THROW(check(false, "a reason"), Bug);
}

}  // namespace
}  // namespace halfround::base
