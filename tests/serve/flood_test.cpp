// A device of the shop's network that asks or changes without end is told to wait; the machine itself never
// is.
#include <gtest/gtest.h>

#include "asking.h"

namespace halfround::serve {
namespace {

class FloodTest : public AskingTest {
 protected:
  FloodTest() { options_.limits.changes = 5, options_.limits.requests = 40; }
  void SetUp() override {
    AskingTest::SetUp();
    Client here(port_);
    const Answered on = here.ask("POST", "/api/network", R"({"on":true})");
    if (on.status != 200) GTEST_SKIP() << "this machine is in no network: " << on.body;
    address_ = Json::parse(on.body)["address"];
    address_ = address_.substr(0, address_.find(':'));
    pair_ = Json::parse(here.ask("POST", "/api/pairing", "{}").body);
    const std::string link = pair_["link"];
    token_ = link.substr(link.find("token=") + 6);
    bearer_ = "Authorization: Bearer " + token_ + "\r\n";
  }
  Answered change(Client& c, int n) {
    return c.ask("POST", "/api/jobs/" + id_ + "/edits", edit(0, "hub.over_locknut", std::to_string(100 + n)),
                 bearer_);
  }
  static int wait_of(const Answered& a) {
    const auto at = a.head.find("Retry-After: ");
    return at == std::string::npos ? 0 : std::atoi(a.head.c_str() + at + 13);
  }
  static void expect_told_to_wait(const Answered& a) {
    EXPECT_EQ(a.status, 429);
    EXPECT_EQ(Json::parse(a.body)["problems"][0]["code"], "too-many-requests");
    EXPECT_GE(wait_of(a), 1);
    EXPECT_LE(wait_of(a), 60);
  }

  std::string address_, token_, bearer_;
  Json pair_;
};

TEST_F(FloodTest, ADeviceThatChangesWithoutEndWaits) {
  Client phone(port_, address_);
  for (int n = 1; n <= 5; ++n) ASSERT_EQ(change(phone, n).status, 200) << n;
  expect_told_to_wait(change(phone, 6));
  EXPECT_EQ(job()["revision"], 6);
  // it may still look, and who sits at the machine may do what he likes
  EXPECT_EQ(phone.ask("GET", "/api/jobs", "", bearer_).status, 200);
  for (int n = 0; n < 60; ++n)
    ASSERT_EQ(post("edits", edit(0, "hub.over_locknut", std::to_string(110 + n))).status, 200);
}

TEST_F(FloodTest, ItsLiveSocketWaitsToo) {
  Socket phone(port_, id_ + "&token=" + token_, address_);
  for (int n = 1; n <= 6; ++n) {
    const Json edits = Json::array({{{"key", "hub.over_locknut"}, {"typed", std::to_string(100 + n)}}});
    phone.say({{"do", "set"}, {"id", n}, {"edits", edits}});
    const Json view = phone.answer(n);
    EXPECT_EQ(view["saved"], n < 6);
    EXPECT_EQ(view["revision"], std::min(n + 1, 6));
    EXPECT_TRUE(view["solved"]);
    EXPECT_EQ(view["problems"].dump().find("too-many-requests") != std::string::npos, n == 6);
  }
  // trying changes nothing
  phone.say({{"do", "try"}, {"id", 7}, {"edits", Json::array()}});
  EXPECT_TRUE(phone.answer(7)["solved"]);
  // the work of many tries is for the page on the machine alone
  phone.say({{"do", "foresee"},
             {"id", 8},
             {"key", "hub.over_locknut"},
             {"typed", {"104"}},
             {"edits", Json::array()}});
  phone.say({{"do", "try"}, {"id", 9}, {"edits", Json::array()}});
  EXPECT_EQ(phone.hear()["reply"], 9);
  Client other(port_, address_);
  expect_told_to_wait(change(other, 7));
}

TEST_F(FloodTest, WhoAsksWithoutEndWaitsPairedOrNot) {
  Client stranger(port_, address_);
  int status = 0, asked = 0;
  while (asked < 100 && (status = stranger.ask("GET", "/").status) == 200) ++asked;
  EXPECT_EQ(asked, 40);
  EXPECT_EQ(status, 429);
  expect_told_to_wait(Client(port_, address_).ask("GET", "/api/jobs", "", bearer_));
  for (int n = 0; n < 100; ++n) ASSERT_EQ(Client(port_).ask("GET", "/").status, 200);
}

TEST_F(FloodTest, AWithdrawnDevicesSocketIsClosedHoweverItShowedItsToken) {
  Client phone(port_, address_);
  EXPECT_EQ(phone
                .ask("GET", "/api/live?job=" + id_, "",
                     bearer_ + "Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
                               "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n")
                .status,
            101);
  const std::string id = std::to_string(pair_["token_id"].get<int>());
  EXPECT_EQ(Client(port_).ask("DELETE", "/api/pairing/" + id).status, 200);
  EXPECT_TRUE(phone.hung_up());
}

}  // namespace
}  // namespace halfround::serve
