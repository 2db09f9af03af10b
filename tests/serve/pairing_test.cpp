// Paired devices: listed, withdrawn, forgotten when nobody uses them; each is told why.
#include <gtest/gtest.h>

#include "shop_network.h"

namespace halfround::serve {
namespace {

class PairingTest : public ShopNetworkTest {
 protected:
  Json listed() { return Json::parse(Client(port_).ask("GET", "/api/pairing").body); }
  Answered come_in(const Pair& p, const std::string& more = "") {
    return from_network().ask("GET", "/api/jobs", "", p.bearer() + more);
  }
};

TEST_F(PairingTest, EveryDeviceIsListedWithItsNameKindAndWhenItWasHere) {
  const Pair tablet = pair("by the jig");
  ASSERT_EQ(come_in(tablet, "User-Agent: X (Mobile; Tablet) Y\r\n").status, 200);
  ASSERT_EQ(come_in(phone_, "User-Agent: X (Linux) Mobile\r\n").status, 200);
  Json all;
  for (int i = 0; i < 50 && (all.is_null() || all[1]["seen"] == "" || all[0]["seen"] == ""); ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(20));  // noted beside the answer
    all = listed();
  }
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0]["token_id"], tablet.id);
  EXPECT_EQ(all[0]["name"], "by the jig");
  EXPECT_EQ(all[0]["kind"], "tablet");
  EXPECT_EQ(all[1]["kind"], "phone");
  EXPECT_EQ(all[0]["made"].get<std::string>().size(), 20U);
  EXPECT_EQ(all[0]["seen"].get<std::string>().size(), 20U);
  EXPECT_EQ(all.dump().find(tablet.token), std::string::npos);
  // only at the machine
  EXPECT_EQ(from_network().ask("GET", "/api/pairing", "", phone_.bearer()).status, 403);
  EXPECT_EQ(from_network().ask("DELETE", "/api/pairing", "", phone_.bearer()).status, 403);
}

TEST_F(PairingTest, OneIsWithdrawnAndToldSoTheOthersStay) {
  const Pair tablet = pair();
  Socket live(port_, id_ + "&token=" + phone_.token, address_);
  ASSERT_EQ(Client(port_).ask("DELETE", "/api/pairing/" + std::to_string(phone_.id)).status, 200);
  EXPECT_EQ(live.hear()["event"], "withdrawn");
  EXPECT_THROW((void)live.hear(), std::exception);  // closed
  const Answered away = come_in(phone_);
  EXPECT_EQ(away.status, 401);
  EXPECT_EQ(code_of(away), "token-withdrawn");
  for (int i = 0; i < 30; ++i) (void)come_in(phone_);
  EXPECT_EQ(code_of(come_in(phone_)), "token-withdrawn");  // it doesn't guess
  EXPECT_EQ(come_in(tablet).status, 200);
  EXPECT_EQ(listed().size(), 1U);
  EXPECT_EQ(Client(port_).ask("DELETE", "/api/pairing/" + std::to_string(phone_.id)).status, 404);
  EXPECT_EQ(Client(port_).ask("DELETE", "/api/pairing/all").status, 404);
}

TEST_F(PairingTest, AllAreWithdrawnAtOnce) {
  const Pair tablet = pair();
  Client held(port_, address_);
  ASSERT_EQ(held.ask("GET", "/api/jobs", "", tablet.bearer()).status, 200);
  const Answered gone = Client(port_).ask("DELETE", "/api/pairing");
  EXPECT_EQ(Json::parse(gone.body)["withdrawn"], 2);
  EXPECT_TRUE(held.hung_up());
  EXPECT_EQ(come_in(phone_).status, 401);
  EXPECT_EQ(come_in(tablet).status, 401);
  EXPECT_TRUE(listed().empty());
  stop();
  start();
  ASSERT_EQ(switch_network(true).status, 200);
  EXPECT_EQ(code_of(come_in(tablet)), "token-withdrawn");
}

class UnusedTest : public PairingTest {
 protected:
  UnusedTest() { options_.limits.unused = std::chrono::seconds(4); }
};

TEST_F(UnusedTest, APairingNobodyUsesEndsOneThatIsUsedStays) {
  const Pair idle = pair();
  Answered away;
  for (int i = 0; i < 16; ++i) {
    EXPECT_EQ(come_in(phone_).status, 200) << i;
    std::this_thread::sleep_for(std::chrono::milliseconds(500));
  }
  away = come_in(idle);
  EXPECT_EQ(away.status, 401);
  EXPECT_EQ(code_of(away), "token-unused");
  EXPECT_EQ(listed().size(), 1U);
}

TEST_F(PairingTest, WrongTokensOfOthersAtTheSameAddressKeepNoPairedDeviceOut) {
  for (int i = 0; i < 25; ++i) (void)from_network().ask("GET", "/api/jobs?token=guess" + std::to_string(i));
  EXPECT_EQ(code_of(from_network().ask("GET", "/api/jobs?token=another")), "too-many-tries");
  EXPECT_EQ(come_in(phone_).status, 200);
}

}  // namespace
}  // namespace halfround::serve
