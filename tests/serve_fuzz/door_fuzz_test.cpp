// Anything may come through the door of the server: requests and live messages of the corpus, changed at
// random. It answers or hangs up, and goes on serving. HALFROUND_FUZZ_ROUNDS says how many are sent, 1500 of
// each kind unless it does. Seeds: tests/fuzz/corpus/door, tests/fuzz/corpus/live.
#include <poll.h>

#include <atomic>

#include "seeds.h"
#include "serve/shop_network.h"

namespace halfround::serve {
namespace {

class DoorFuzzTest : public AskingTest {
 protected:
  DoorFuzzTest() {
    options_.limits.slow = std::chrono::milliseconds(1500);
    options_.complain = [this](const std::string& what) {
      ++mistakes_;
      std::printf("%s\n", what.c_str());
    };
  }
  [[nodiscard]] std::vector<std::string> filled_seeds(const std::string& folder) const {
    return filled(seeds(folder), filling());
  }
  [[nodiscard]] Filling filling() const { return {"127.0.0.1:" + std::to_string(port_), id_, "guess"}; }
  void expect_alive(long round) {
    ASSERT_EQ(Client(port_).ask("GET", "/api/network").status, 200) << "after round " << round;
    ASSERT_EQ(mistakes_, 0) << "after round " << round;
  }

  std::atomic<int> mistakes_ = 0;
};

/// Sends, and takes what comes within a moment.
void knock(unsigned short port, const std::string& bytes, Random& random) {
  const int s = ::socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in at{};
  at.sin_family = AF_INET, at.sin_port = htons(port);
  inet_pton(AF_INET, "127.0.0.1", &at.sin_addr);
  ASSERT_EQ(::connect(s, reinterpret_cast<const sockaddr*>(&at), sizeof at), 0);
  const timeval patience{1, 0};
  setsockopt(s, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
  const std::size_t cut = below(random, 4) == 0 ? below(random, bytes.size() + 1) : bytes.size();
  (void)::send(s, bytes.data(), cut, MSG_NOSIGNAL);
  (void)::send(s, bytes.data() + cut, bytes.size() - cut, MSG_NOSIGNAL);
  if (below(random, 2) == 0) ::shutdown(s, SHUT_WR);
  pollfd one{s, POLLIN, 0};
  char away[65536];
  if (::poll(&one, 1, static_cast<int>(below(random, 40))) > 0) (void)::recv(s, away, sizeof away, 0);
  ::close(s);
}

TEST_F(DoorFuzzTest, NoRequestEndsTheServer) {
  const auto all = filled_seeds("door");
  ASSERT_GE(all.size(), 15U);
  Random random(fuzz_seed());
  for (long round = 0; round < fuzz_rounds(1500); ++round) {
    std::string text = changed(all[static_cast<std::size_t>(round) % all.size()], all, random);
    if (below(random, 2) == 0) mend_length(text);
    knock(port_, text, random);
    if (round % 200 == 199) expect_alive(round);
    if (HasFatalFailure()) return;
  }
  expect_alive(fuzz_rounds(1500));
  std::printf("%ld requests\n", fuzz_rounds(1500));
}

TEST_F(DoorFuzzTest, NoLiveMessageEndsTheServer) {
  const auto all = filled_seeds("live");
  ASSERT_GE(all.size(), 8U);
  const std::string begin =
      filled("GET /api/live?job=@JOB@ HTTP/1.1\r\nHost: @HOST@\r\n", filling()) + kUpgrade + "\r\n";
  Random random(fuzz_seed());
  long sent = 0;
  for (long round = 0; sent < fuzz_rounds(1500); ++round) {
    Client c(port_);
    ASSERT_TRUE(c.send(begin));
    ASSERT_EQ(c.receive().status, 101);
    std::string frames;
    for (std::size_t n = 1 + below(random, 12); n > 0; --n, ++sent)
      frames += some_frame(changed(all[below(random, all.size())], all, random), random);
    if (below(random, 3) == 0) frames = changed(std::move(frames), all, random);
    (void)c.send(frames);
    if (round % 20 == 19) expect_alive(round);
    if (HasFatalFailure()) return;
  }
  expect_alive(sent);
  std::printf("%ld messages\n", sent);
}

}  // namespace
}  // namespace halfround::serve
