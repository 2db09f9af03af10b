// A device of the shop's network that asks or changes without end is told to wait; the machine itself never
// is.
#include <gtest/gtest.h>

#include "shop_network.h"

namespace halfround::serve {
namespace {

class FloodTest : public ShopNetworkTest {
 protected:
  FloodTest() { options_.limits.changes = 5, options_.limits.requests = 40; }
  Answered change(Client& c, int n) {
    return c.ask("POST", "/api/jobs/" + id_ + "/edits", edit(0, "hub.over_locknut", std::to_string(100 + n)),
                 phone_.bearer());
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
};

TEST_F(FloodTest, ADeviceThatChangesWithoutEndWaits) {
  Client phone(port_, address_);
  for (int n = 1; n <= 5; ++n) ASSERT_EQ(change(phone, n).status, 200) << n;
  expect_told_to_wait(change(phone, 6));
  EXPECT_EQ(job()["revision"], 6);
  // it may still look, and who sits at the machine may do what he likes
  EXPECT_EQ(from_network().ask("GET", "/api/jobs", "", phone_.bearer()).status, 200);
  for (int n = 0; n < 60; ++n)
    ASSERT_EQ(post("edits", edit(0, "hub.over_locknut", std::to_string(110 + n))).status, 200);
}

TEST_F(FloodTest, ItsLiveSocketWaitsToo) {
  Socket phone(port_, id_ + "&token=" + phone_.token, address_);
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
  // a paired device is counted for itself, whoever else asks from its address
  Client phone(port_, address_);
  for (int n = 0; n < 40; ++n) ASSERT_EQ(phone.ask("GET", "/api/jobs", "", phone_.bearer()).status, 200) << n;
  expect_told_to_wait(phone.ask("GET", "/api/jobs", "", phone_.bearer()));
  for (int n = 0; n < 100; ++n) ASSERT_EQ(Client(port_).ask("GET", "/").status, 200);
}

TEST_F(FloodTest, LooksOfALiveSocketAreCountedAndTheRestWaitsUnread) {
  Socket phone(port_, id_ + "&token=" + phone_.token, address_);  // asking for it was the first of forty
  for (int n = 1; n <= 39; ++n) {
    phone.say({{"do", "show"}, {"id", n}, {"show", "front"}});
    EXPECT_TRUE(phone.answer(n)["solved"]) << n;
  }
  phone.say({{"do", "show"}, {"id", 40}, {"show", "front"}});
  expect_told_to_wait(from_network().ask("GET", "/api/jobs", "", phone_.bearer()));
  EXPECT_FALSE(phone.hears_within(std::chrono::milliseconds(700)));
}

TEST_F(FloodTest, WhoKnocksWithoutEndKeptTheOthersWaitingAtTheDoor) {
  std::vector<std::unique_ptr<Client>> held;  // all that an address may have
  for (int n = 0; n < 20; ++n) held.push_back(std::make_unique<Client>(port_, address_));
  for (int n = 0; n < 1500; ++n) const Client knock(port_, address_);
  held.clear();
  const auto start = std::chrono::steady_clock::now();
  // where its own knock came while the twenty still counted it is repeated, as a browser does
  int status = 0;
  for (int n = 0; n < 20 && status != 200; ++n) {
    status = from_network().ask("GET", "/api/jobs", "", phone_.bearer()).status;
    if (status != 200) std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  EXPECT_EQ(status, 200);
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(8));
}

TEST_F(FloodTest, AWithdrawnDevicesSocketIsClosedHoweverItShowedItsToken) {
  Client phone(port_, address_);
  EXPECT_EQ(phone.ask("GET", "/api/live?job=" + id_, "", phone_.bearer() + kUpgrade).status, 101);
  EXPECT_EQ(Client(port_).ask("DELETE", "/api/pairing/" + std::to_string(phone_.id)).status, 200);
  EXPECT_TRUE(phone.hung_up());
}

}  // namespace
}  // namespace halfround::serve
