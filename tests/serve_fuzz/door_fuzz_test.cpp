// Anything may come through the door of the server: requests and live messages of the corpus, changed at
// random. It answers or hangs up, and goes on serving. HALFROUND_FUZZ_ROUNDS says how many are sent, 1500 of
// each kind unless it does. Seeds: tests/fuzz/corpus/door, tests/fuzz/corpus/live.
#include <poll.h>

#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "changed.h"
#include "serve/shop_network.h"

namespace halfround::serve {
namespace {

namespace fs = std::filesystem;

class DoorFuzzTest : public AskingTest {
 protected:
  DoorFuzzTest() {
    options_.limits.slow = std::chrono::milliseconds(1500);
    options_.complain = [this](const std::string& what) {
      ++mistakes_;
      std::printf("%s\n", what.c_str());
    };
  }
  static long rounds() {
    const char* wanted = std::getenv("HALFROUND_FUZZ_ROUNDS");
    return wanted != nullptr ? std::strtol(wanted, nullptr, 10) : 1500;
  }
  [[nodiscard]] std::vector<std::string> seeds(const std::string& folder) const {
    std::vector<fs::path> files;
    for (const auto& e : fs::directory_iterator(SOURCE_DIR "/tests/fuzz/corpus/" + folder))
      files.push_back(e);
    std::ranges::sort(files);
    std::vector<std::string> out;
    for (const fs::path& file : files) {
      std::ostringstream text;
      text << std::ifstream(file, std::ios::binary).rdbuf();
      out.push_back(filled_in(text.str()));
    }
    return out;
  }
  [[nodiscard]] std::string filled_in(std::string text) const {
    const auto put = [&](const std::string& name, const std::string& value) {
      for (std::size_t at; (at = text.find(name)) != std::string::npos;) text.replace(at, name.size(), value);
    };
    put("@HOST@", "127.0.0.1:" + std::to_string(port_)), put("@JOB@", id_), put("@TOKEN@", "guess");
    return text;
  }
  /// Its length made true again, so that what is behind it is read.
  static void mend_length(std::string& text) {
    const std::string name = "Content-Length: ";
    const auto at = text.find(name), body = text.find("\r\n\r\n");
    if (at == std::string::npos || body == std::string::npos || at > body) return;
    const auto end = text.find("\r\n", at);
    text.replace(at, end - at, name + std::to_string(text.size() - body - 4));
  }
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

/// A frame of a client, its mask zero. [source: RFC 6455, 5.2]
std::string frame_of(const std::string& text, Random& random) {
  static const unsigned char kFirst[] = {0x81, 0x81, 0x81, 0x81, 0x01, 0x80,
                                         0x82, 0x88, 0x89, 0x8A, 0xC1, 0x83};
  std::string out(1, static_cast<char>(kFirst[below(random, std::size(kFirst))]));
  if (text.size() < 126) {
    out += static_cast<char>(0x80 | text.size());
  } else if (text.size() < 65536) {
    out += {static_cast<char>(0xFE), static_cast<char>(text.size() >> 8), static_cast<char>(text.size())};
  } else {
    out += static_cast<char>(0xFF);
    for (int i = 7; i >= 0; --i) out += static_cast<char>(static_cast<std::uint64_t>(text.size()) >> (8 * i));
  }
  return out + std::string(4, '\0') + text;
}

TEST_F(DoorFuzzTest, NoRequestEndsTheServer) {
  const auto all = seeds("door");
  ASSERT_GE(all.size(), 15U);
  Random random(20261130);
  for (long round = 0; round < rounds(); ++round) {
    std::string text = changed(all[static_cast<std::size_t>(round) % all.size()], all, random);
    if (below(random, 2) == 0) mend_length(text);
    knock(port_, text, random);
    if (round % 200 == 199) expect_alive(round);
    if (HasFatalFailure()) return;
  }
  expect_alive(rounds());
  std::printf("%ld requests\n", rounds());
}

TEST_F(DoorFuzzTest, NoLiveMessageEndsTheServer) {
  const auto all = seeds("live");
  ASSERT_GE(all.size(), 8U);
  const std::string begin =
      filled_in("GET /api/live?job=@JOB@ HTTP/1.1\r\nHost: @HOST@\r\n") + kUpgrade + "\r\n";
  Random random(20261130);
  long sent = 0;
  for (long round = 0; sent < rounds(); ++round) {
    Client c(port_);
    ASSERT_TRUE(c.send(begin));
    ASSERT_EQ(c.receive().status, 101);
    std::string frames;
    for (std::size_t n = 1 + below(random, 12); n > 0; --n, ++sent)
      frames += frame_of(changed(all[below(random, all.size())], all, random), random);
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
