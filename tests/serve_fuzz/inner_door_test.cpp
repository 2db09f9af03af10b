// Anything may come through the door, tried without sockets: by this machine, by a stranger, by a device
// whose pairing was withdrawn and by one that is paired. Nobody without a good token gets more than the
// page's own files, nothing ends the server, nothing is a mistake of its own. HALFROUND_FUZZ_ROUNDS says how
// often, 4000 of each unless it does.
#include "inner_door.h"

namespace halfround::serve {
namespace {

constexpr long kAnew = 20'000;  // executions on one book

TEST_F(InnerDoorTest, NobodyWithoutATokenGetsMoreThanThePageAndNothingEndsTheServer) {
  const long rounds = fuzz_rounds(4000);
  std::vector<std::vector<std::string>> all;
  for (long round = 0; round < rounds; ++round) {
    if (round % kAnew == 0) {
      if (round > 0) begin_anew();
      all.clear();
      for (const Caller caller : kCallers) all.push_back(seeds_of(caller, "door"));
      ASSERT_GE(all.front().size(), 20U);
    }
    const std::size_t who = static_cast<std::size_t>(round) % std::size(kCallers);
    const auto& texts = all[who];
    std::string text = changed(texts[below(random_, texts.size())], texts, random_);
    if (below(random_, 2) == 0) mend_length(text);
    send(kCallers[who], text);
    ASSERT_EQ(mistakes_, 0) << "round " << round << ": " << text;
    ASSERT_FALSE(HasFailure()) << "round " << round << ": " << text;
  }
  std::printf("%ld executions of the door\n", rounds);
  say_what_was_told();
  EXPECT_GT(told_["answered"], rounds / 10);
  EXPECT_GT(told_["turned away"], rounds / 10);
  EXPECT_GT(told_["live sockets"], rounds / 1000);
}

TEST_F(InnerDoorTest, NoLiveMessageEndsTheServer) {
  const long rounds = fuzz_rounds(4000);
  std::vector<std::string> all;
  for (long round = 0; round < rounds; ++round) {
    if (round % kAnew == 0) {
      if (round > 0) begin_anew();
      all = seeds_of(Caller::here, "live");
    }
    const std::string text = changed(all[below(random_, all.size())], all, random_);
    hear(below(random_, 2) == 0 ? Caller::here : Caller::paired, text);
    ASSERT_FALSE(HasFailure()) << "round " << round << ": " << text;
  }
  std::printf("%ld live messages\n", rounds);
  say_what_was_told();
  EXPECT_GT(told_["live messages understood"], rounds / 10);
}

}  // namespace
}  // namespace halfround::serve
