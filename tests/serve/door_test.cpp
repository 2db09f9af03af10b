// Who may come in: without a token nothing of the server answers to the network but the page's own files, in
// whatever spelling it is asked.
#include <gtest/gtest.h>

#include "shop_network.h"

namespace halfround::serve {
namespace {

class DoorTest : public ShopNetworkTest {};

/// Of a reply whose body may not come, as after HEAD.
int status_of(const Answered& a) {
  return a.head.size() > 12 ? std::atoi(a.head.c_str() + 9) : 0;
}

/// "/api/jobs" and what a router might take for it.
std::vector<std::string> spellings(const std::string& rest) {
  std::vector<std::string> out;
  for (const char* api : {"/api",     "/%61pi",         "/a%70i", "/ap%69",   "/%61%70%69",  "/API",
                          "/%41pi",   "//api",          "/./api", "/%2e/api", "/x/../api",   "/x/%2e%2e/api",
                          "/%2fapi",  "/api%2f",        "/;/api", "/api;x",   "/api%00",     "/api%",
                          "/%2561pi", "/assets/../api", "\\api",  "api",      "http://x/api"})
    for (const char* slash : {"/", "%2f", "//", "/%2e/"}) out.push_back(std::string(api) + slash + rest);
  return out;
}

TEST_F(DoorTest, WithoutATokenNoSpellingOfApiAnswers) {
  int asked = 0;
  for (const std::string& rest :
       {std::string("jobs"), "jobs/" + id_, "jobs/" + id_ + "/edits", "jobs/" + id_ + "/sheets",
        std::string("schema"), std::string("pairing"), std::string("%6aobs"), "live?job=" + id_}) {
    for (const std::string& target : spellings(rest)) {
      for (const char* method : {"GET", "HEAD", "POST", "DELETE", "PUT", "OPTIONS"}) {
        Client stranger(port_, address_);
        const Answered a = stranger.ask(method, target, "", "Connection: close\r\n");
        const int status = status_of(a);
        EXPECT_TRUE(status == 401 || status == 429) << method << " " << target << " " << status;
        EXPECT_EQ(a.body.find("island mail"), std::string::npos);
        ++asked;
      }
      Client stranger(port_, address_);
      const Answered upgrade = stranger.ask("GET", target, "", kUpgrade);
      EXPECT_TRUE(upgrade.status == 401 || upgrade.status == 429) << target << " " << upgrade.status;
      if (asked % 600 < 6) leave(), listen(), switch_network(true);  // a fresh minute
    }
  }
  EXPECT_EQ(job()["revision"], 1);
}

TEST_F(DoorTest, WhateverIsNoFileOfThePageNeedsAToken) {
  EXPECT_EQ(from_network().ask("GET", "/").status, 200);
  EXPECT_EQ(from_network().ask("GET", "/index.html").status, 200);
  EXPECT_EQ(from_network().ask("GET", "/%69ndex.html").status, 200);
  for (const char* other : {"/halfround.db", "/pictures/hub.svg", "/example/fork.toml", "/nothing"})
    EXPECT_EQ(from_network().ask("GET", other).status, 401) << other;
  EXPECT_EQ(from_network().ask("POST", "/", "{}").status, 401);
  EXPECT_EQ(from_network().ask("GET", "/", "", kUpgrade).status, 401);
  EXPECT_EQ(from_network().ask("GET", "/", "", phone_.bearer() + kUpgrade).status, 404);
  // a token opens every spelling of what it opens
  EXPECT_EQ(from_network().ask("GET", "/%61pi/jobs", "", phone_.bearer()).status, 200);
  EXPECT_EQ(status_of(from_network().ask("HEAD", "/api/jobs", "", phone_.bearer() + "Connection: close\r\n")),
            200);
}

TEST_F(DoorTest, AnEscapedPathCountsForTheLimitsToo) {
  leave();
  options_.limits.changes = 3;
  listen();
  switch_network(true);
  for (int n = 1; n <= 5; ++n) {
    const Answered a =
        from_network().ask("POST", "/%61pi/jobs/" + id_ + "/edits",
                           edit(0, "hub.over_locknut", std::to_string(100 + n)), phone_.bearer());
    EXPECT_EQ(a.status, n <= 3 ? 200 : 429) << n;
  }
}

TEST_F(DoorTest, NoBodyIsReadBeforeAToken) {
  Client stranger(port_, address_);
  const std::string host = "Host: " + address_ + ":" + std::to_string(port_) + "\r\n";
  ASSERT_TRUE(stranger.send("POST /api/jobs HTTP/1.1\r\n" + host + "Content-Length: 1000000\r\n\r\n"));
  EXPECT_EQ(stranger.receive().status, 401);  // none of the body was sent
  Client page(port_, address_);
  ASSERT_TRUE(page.send("GET / HTTP/1.1\r\n" + host + "Content-Length: 1000000\r\n\r\n"));
  EXPECT_EQ(page.receive().status, 413);
}

TEST_F(DoorTest, SwitchingTheNetworkOffClosesEverythingFromOutside) {
  Client idle(port_, address_), page(port_, address_), phone(port_, address_), live(port_, address_);
  EXPECT_EQ(page.ask("GET", "/").status, 200);
  EXPECT_EQ(phone.ask("GET", "/api/jobs", "", phone_.bearer()).status, 200);
  EXPECT_EQ(live.ask("GET", "/api/live?job=" + id_, "", phone_.bearer() + kUpgrade).status, 101);
  Client half(port_, address_);
  ASSERT_TRUE(half.send("GET / HT"));
  Client local(port_);
  EXPECT_EQ(local.ask("GET", "/api/jobs").status, 200);
  EXPECT_EQ(switch_network(false).status, 200);
  for (Client* c : {&idle, &page, &phone, &live, &half}) EXPECT_TRUE(c->hung_up());
  EXPECT_EQ(local.ask("GET", "/api/jobs").status, 200);
  EXPECT_FALSE(Client(port_, address_).open());
}

TEST_F(DoorTest, AStrangerWhoHoldsManyConnectionsKeepsNobodyElseOut) {
  std::vector<std::unique_ptr<Client>> held;
  for (int i = 0; i < 60; ++i) held.push_back(std::make_unique<Client>(port_, address_));
  int refused = 0;
  for (auto& c : held) {
    const Answered a = c->ask("GET", "/");
    refused += a.status == 0 ? 1 : 0;
  }
  EXPECT_EQ(refused, 40);
  // the rest of the hundred places are for others; this machine's own are not touched
  EXPECT_EQ(Client(port_).ask("GET", "/api/jobs").status, 200);
  held.clear();
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  EXPECT_EQ(from_network().ask("GET", "/api/jobs", "", phone_.bearer()).status, 200);
}

TEST_F(DoorTest, ADeviceHasSoManyLiveSocketsAndConnections) {
  std::vector<std::unique_ptr<Client>> held;
  int open = 0, waiting = 0;
  for (int i = 0; i < 10; ++i) {
    held.push_back(std::make_unique<Client>(port_, address_));
    const Answered a = held.back()->ask("GET", "/api/live?job=" + id_, "", phone_.bearer() + kUpgrade);
    open += a.status == 101 ? 1 : 0;
    waiting += a.status == 429 ? 1 : 0;
    if (a.status != 101) held.pop_back();
  }
  EXPECT_EQ(open, 6);
  EXPECT_EQ(waiting, 4);
  // another device at the same address has its own
  const Pair other = pair("tablet");
  Client c(port_, address_);
  EXPECT_EQ(c.ask("GET", "/api/live?job=" + id_, "", other.bearer() + kUpgrade).status, 101);
  std::this_thread::sleep_for(std::chrono::milliseconds(200));  // until the refused ones are gone
  int served = 0;
  for (int i = 0; i < 20; ++i) {
    held.push_back(std::make_unique<Client>(port_, address_));
    served += held.back()->ask("GET", "/api/jobs", "", phone_.bearer()).status == 200 ? 1 : 0;
  }
  EXPECT_EQ(served, 10);  // six of its sixteen are live
}

TEST_F(DoorTest, AnErrorNamesNoFolderOfThisMachine) {
  const std::string folder = folder_.string();
  for (const auto& [method, target, body] : std::vector<std::tuple<const char*, std::string, std::string>>{
           {"GET", "/api/jobs/nobody", ""},
           {"GET", "/api/jobs/" + id_ + "/view?revision=77", ""},
           {"POST", "/api/jobs", R"({"toml":"a = ["})"},
           {"POST", "/api/shop/edits", R"({"edits":[{"key":"cutters[1].diameter","typed":"x"}]})"},
           {"GET", "/api/pictures/..%2f..%2fx", ""}}) {
    const Answered a = from_network().ask(method, target, body, phone_.bearer());
    EXPECT_GE(a.status, 400) << target;
    EXPECT_EQ(a.body.find(folder), std::string::npos) << a.body;
    EXPECT_EQ(a.body.find("/home"), std::string::npos) << a.body;
  }
  const base::Problem said = for_device({"store-damaged", {folder + "/halfround.db", 0, 0, ""}, "x", folder});
  EXPECT_EQ((said.what + said.fits + said.where.file).find(folder), std::string::npos);
}

TEST_F(DoorTest, WhatCantBeDeletedOrWrittenSaysSo) {
  Client here(port_);
  for (const std::string& target :
       {"/api/jobs/" + id_, "/api/jobs/" + id_ + "/log", std::string("/api/jobs"), std::string("/api/schema"),
        std::string("/api/shop"), "/api/cards/" + id_, std::string("/api/network"), std::string("/api/unit")})
    EXPECT_EQ(here.ask("DELETE", target).status, 405) << target;
  for (const std::string& target :
       {std::string("/api/schema"), "/api/cards/" + id_, std::string("/api/unit")})
    EXPECT_EQ(here.ask("POST", target, "{}").status, 405) << target;
  EXPECT_EQ(here.ask("DELETE", "/").status, 405);
}

}  // namespace
}  // namespace halfround::serve
