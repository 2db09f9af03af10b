// Many connections, slow ones among them: the editor's answers come, and the server keeps little for who
// doesn't read.
#include <gtest/gtest.h>

#include <algorithm>
#include <iostream>

#include "asking.h"
#include "slow_reader.h"

namespace halfround::serve {
namespace {

class CrowdTest : public AskingTest {
 protected:
  /// 400 that have begun to ask.
  void crowd_in() {
    for (int i = 0; i < 400; ++i) {
      idle_.push_back(std::make_unique<Client>(port_));
      ASSERT_TRUE(idle_.back()->open()) << i;
      ASSERT_TRUE(idle_.back()->send("GET / HT"));
    }
  }
  static Json edits(int n) { return {{{"key", "hub.over_locknut"}, {"typed", std::to_string(100 + n)}}}; }
  static std::string ask(int id) { return Json{{"do", "show"}, {"id", id}, {"show", "front"}}.dump(); }

  std::vector<std::unique_ptr<Client>> idle_;
};

bool is_view(const std::string& message) {
  return !message.starts_with("{");
}

TEST_F(CrowdTest, AnEditorAmongIdleConnectionsAndASlowReaderGetsEveryAnswer) {
  crowd_in();
  Socket editor(port_, id_), other(port_, id_);
  SlowReader slow(port_, id_);
  ASSERT_TRUE(slow.open());
  constexpr int kRounds = 40;
  for (int n = 1; n <= kRounds; ++n) {
    ASSERT_TRUE(slow.say(ask(n))) << n;
    editor.say({{"do", "try"}, {"id", 2 * n}, {"edits", edits(n)}});
    EXPECT_EQ(editor.answer(2 * n)["fields"]["hub.over_locknut"]["value"], 100 + n);
    editor.say({{"do", "set"}, {"id", 2 * n + 1}, {"edits", edits(n)}});
    EXPECT_EQ(editor.answer(2 * n + 1)["revision"], n + 1);
    EXPECT_EQ(other.hear(), (Json{{"event", "changed"}, {"revision", n + 1}}));
  }
  EXPECT_EQ(Json::parse(get("revisions").body).size(), kRounds + 1U);
  // It was asked for patience, not for room: few views wait for it, the last answer is of the newest
  // revision.
  int views = 0, news = 0;
  const auto all = slow.read_until(
      [](const std::string& message) { return is_view(message) && header_of(message)["reply"] == kRounds; });
  for (const std::string& message : all) ++(is_view(message) ? views : news);
  ASSERT_FALSE(all.empty());
  EXPECT_EQ(header_of(all.back())["reply"], kRounds);
  EXPECT_EQ(header_of(all.back())["revision"], kRounds + 1);
  EXPECT_EQ(news, kRounds);
  EXPECT_LE(views, 20);
  std::cout << "views that waited for the slow reader: " << views << " of " << kRounds << "\n";
}

TEST_F(CrowdTest, WhoLagsTooFarIsCutOffAndTheOthersHearEverything) {
  Socket other(port_, id_);
  SlowReader slow(port_, id_);
  ASSERT_TRUE(slow.open());
  // views until one is stuck on its way
  for (int n = 1; n <= 30; ++n) {
    ASSERT_TRUE(slow.say(ask(n)));
    ASSERT_EQ(get("view?light=1").status, 200);
  }
  constexpr int kNews = 300;
  Client shop(port_);
  for (int n = 0; n < kNews; ++n)
    ASSERT_EQ(shop.ask("POST", "/api/jobs/" + id_ + "/log", R"({"who":"I","what":"seen"})").status, 200);
  for (int n = 0; n < kNews; ++n) EXPECT_EQ(other.hear()["event"], "log") << n;
  const auto all = slow.read_until([](const std::string&) { return false; });
  EXPECT_LT(std::ranges::count_if(all, is_view), 20);
  EXPECT_LT(std::ranges::count_if(all, [](const std::string& m) { return !is_view(m); }), kNews);
  SlowReader back(port_, id_);
  ASSERT_TRUE(back.open());
  ASSERT_TRUE(back.say(ask(1)));
  EXPECT_EQ(header_of(back.read_until(is_view).back())["reply"], 1);
}

TEST_F(CrowdTest, WhoAsksWithoutEndAndNeverReadsIsCutOff) {
  SlowReader slow(port_, id_);
  ASSERT_TRUE(slow.open());
  // each is to be done, none takes another's place
  bool open = true;
  for (int n = 1; n <= 3000 && open; ++n) open = slow.say(Json{{"do", "undo"}, {"id", n}}.dump());
  const auto all = slow.read_until([](const std::string&) { return false; });
  EXPECT_LT(all.size(), 100U);
  EXPECT_EQ(post("edits", edit(1, "hub.axle", "11")).status, 200);
}

class ShortPatienceTest : public AskingTest {
 protected:
  ShortPatienceTest() {
    options_.limits.slow = std::chrono::milliseconds(700);
    options_.limits.idle = std::chrono::milliseconds(2000);
  }
  /// Byte by byte until the other side hangs up; false where it never does.
  static bool cut_off(Client& c, const std::string& begin, char more) {
    if (!c.send(begin)) return false;
    for (int i = 0; i < 100; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
      if (!c.send(std::string(1, more))) return true;
    }
    return false;
  }
};

TEST_F(ShortPatienceTest, ARequestThatTricklesIsCutOff) {
  Client head(port_), body(port_);
  const std::string host = "Host: 127.0.0.1:" + std::to_string(port_) + "\r\n";
  EXPECT_TRUE(cut_off(head, "GET / HTTP/1.1\r\n" + host + "X: ", 'a'));
  EXPECT_TRUE(cut_off(body, "POST /api/jobs HTTP/1.1\r\n" + host + "Content-Length: 1000\r\n\r\n", ' '));
  EXPECT_EQ(Client(port_).ask("GET", "/api/jobs").status, 200);
}

TEST_F(ShortPatienceTest, AHalfSentRequestAndASilentConnectionAreClosed) {
  Client half(port_), silent(port_);
  ASSERT_TRUE(half.send("GET / HT"));
  EXPECT_TRUE(half.hung_up());
  EXPECT_TRUE(silent.hung_up());
}

}  // namespace
}  // namespace halfround::serve
