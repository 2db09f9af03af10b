// The server asked over the network, politely and otherwise.
#include "serve/server.h"

#include <gtest/gtest.h>

#include <cstring>
#include <utility>

#include "asking.h"
#include "solve/notes.h"

namespace halfround::serve {
namespace {

/// Points the items speak of, and points there are.
std::pair<std::size_t, std::size_t> points_of(const std::string& frame) {
  std::uint32_t length = 0;
  std::memcpy(&length, frame.data(), 4);
  std::size_t told = 0;
  const Json head = header_of(frame);
  for (const Json& page : head["pages"])
    for (const Json& g : page["groups"])
      for (const Json& i : g["items"])
        if (i["k"] != "t")
          for (const Json& n : i["n"]) told += n.get<std::size_t>();
  const std::size_t start = (4 + length + 3) / 4 * 4;
  return {told, (frame.size() - start) / 8};
}

class ServerTest : public AskingTest {};

TEST_F(ServerTest, TheFirstStartOpensOnALivingFork) {
  const Json jobs = Json::parse(Client(port_).ask("GET", "/api/jobs").body);
  ASSERT_EQ(jobs.size(), 1U);
  EXPECT_EQ(jobs[0]["name"], "island mail");
  for (const char* show : {"front", "side", "template-left", "template-right", "section"}) {
    const Answered view = get(std::string("view?at=100&show=") + show);
    ASSERT_EQ(view.status, 200) << show;
    const Json head = header_of(view.body);
    EXPECT_TRUE(head["solved"]) << show;
    EXPECT_TRUE(head["saved"]);
    EXPECT_GT(head["pages"][0]["width"].get<double>(), 50);
    const auto [told, there] = points_of(view.body);
    EXPECT_EQ(told, there) << show;
    EXPECT_GT(told, 300U) << show;
  }
  const Json head = header_of(get("view").body);
  EXPECT_NEAR(head["numbers"]["axle_to_crown_straight"].get<double>(), 407, 1e-9);
  EXPECT_EQ(head["fields"]["steerer.diameter"]["typed"], "1 1/8 in");
  EXPECT_NEAR(head["fields"]["steerer.diameter"]["value"].get<double>(), 28.575, 1e-9);
  EXPECT_TRUE(head["fields"]["wishes.lean_to"]["assumed"]);
  EXPECT_GT(head["verdicts"].size(), 10U);
  EXPECT_TRUE(std::ranges::any_of(head["verdicts"], [](const Json& v) { return !v["places"][0].is_null(); }));
  EXPECT_NE(get("view").body.find("\"key\":\"hub.over_locknut\""), std::string::npos);
}

TEST_F(ServerTest, EditsUndoAndRedoGoRoundAndOutliveARestart) {
  EXPECT_EQ(Json::parse(post("edits", edit(1, "hub.over_locknut", "4 in")).body)["revision"], 2);
  EXPECT_NE(job()["toml"].get<std::string>().find("over_locknut = \"4 in\""), std::string::npos);
  EXPECT_EQ(job()["undo_what"], "hub.over_locknut: 100, now 4 in");
  EXPECT_EQ(Json::parse(post("undo", R"({"base":2})").body)["revision"], 3);
  stop();
  start();
  EXPECT_TRUE(job()["can_redo"]);
  EXPECT_FALSE(job()["can_undo"]);
  EXPECT_EQ(Json::parse(post("redo", R"({"base":3})").body)["revision"], 4);
  EXPECT_EQ(header_of(get("view?light=1").body)["fields"]["hub.over_locknut"]["typed"], "4 in");
  const Json compared = Json::parse(get("compare?a=1&b=4").body);
  EXPECT_FALSE(compared["numbers"].empty());
  EXPECT_EQ(Json::parse(get("revisions").body).size(), 4U);
  EXPECT_EQ(get("job.toml").body, job()["toml"]);
}

TEST_F(ServerTest, TwoDevicesLoseNothing) {
  ASSERT_EQ(post("edits", edit(1, "hub.over_locknut", "110")).status, 200);
  const Answered merged = post("edits", edit(1, "steering.offset", "45"));
  EXPECT_EQ(Json::parse(merged.body)["revision"], 3);
  const Answered both = post("edits", edit(1, "hub.over_locknut", "120"));
  EXPECT_EQ(both.status, 409);
  EXPECT_EQ(Json::parse(both.body)["revision"], 3);
  EXPECT_EQ(post("undo", R"({"base":1})").status, 409);
  const Json head = header_of(get("view").body);
  EXPECT_EQ(head["fields"]["hub.over_locknut"]["typed"], "110");
  EXPECT_EQ(head["fields"]["steering.offset"]["typed"], "45");
}

TEST_F(ServerTest, WhatCantBeReadIsRefusedAndAForkThatCantBeIsSaved) {
  const Answered words = post("edits", edit(1, "hub.axle", "as thick as a thumb"));
  EXPECT_EQ(words.status, 422);
  EXPECT_EQ(Json::parse(words.body)["problems"][0]["where"]["key"], "hub.axle");
  EXPECT_EQ(post("edits", edit(1, "hub.over_lock_nut", "3")).status, 422);
  EXPECT_EQ(post("edits", edit(1, "steering.axle_to_crown", "640")).status, 200);
  const Json head = header_of(get("view").body);
  EXPECT_FALSE(head["solved"]);
  EXPECT_FALSE(head["problems"].empty());
  EXPECT_EQ(head["revision"], 2);
}

TEST_F(ServerTest, JobsAreBegunCopiedAndImportedWithTheirComments) {
  Client c(port_);
  EXPECT_EQ(c.ask("POST", "/api/jobs", R"({"name":"mine"})").status, 200);
  EXPECT_EQ(c.ask("POST", "/api/jobs", Json{{"name", "like it"}, {"from", id_}}.dump()).status, 200);
  const Json made = Json::parse(
      c.ask("POST", "/api/jobs", R"({"toml":"# mine\n[job]\nname = \"little\" # so far\n"})").body);
  const Json jobs = Json::parse(c.ask("GET", "/api/jobs").body);
  EXPECT_EQ(jobs.size(), 4U);
  const Json little = Json::parse(c.ask("GET", "/api/jobs/" + made["id"].get<std::string>()).body);
  EXPECT_EQ(little["toml"], "# mine\n[job]\nname = \"little\" # so far\n");
  EXPECT_EQ(c.ask("POST", "/api/jobs", R"({"toml":"a = ["})").status, 422);
}

TEST_F(ServerTest, AnImportedJobKeepsTheNameThatIsInItsFile) {
  Client c(port_);
  const auto imported = [&](const std::string& toml, const std::string& name) {
    const Json made =
        Json::parse(c.ask("POST", "/api/jobs", Json{{"toml", toml}, {"name", name}}.dump()).body);
    return Json::parse(c.ask("GET", "/api/jobs/" + made["id"].get<std::string>()).body);
  };
  const std::string own = "[job]\nname = \"little\"  # hers\n";
  EXPECT_EQ(imported(own, "download (3)")["name"], "little");
  EXPECT_EQ(imported(own, "download (3)")["toml"], own);
  EXPECT_EQ(imported("version = 1\n", "download (3)")["name"], "download (3)");
  EXPECT_EQ(imported("[job]\nname = \"\"\n", "download (3)")["name"], "download (3)");
}

TEST_F(ServerTest, OnePressLeadsBackToAnyRevisionAndUndoFromThere) {
  for (int n = 1; n <= 4; ++n)
    ASSERT_EQ(post("edits", edit(n, "hub.over_locknut", std::to_string(100 + n))).status, 200);
  const std::string second = get("job.toml?x").body;  // the newest, 104
  EXPECT_EQ(post("back", R"({"base":3,"revision":2})").status, 409);
  EXPECT_EQ(post("back", R"({"base":5,"revision":77})").status, 404);
  EXPECT_EQ(Json::parse(post("back", R"({"base":5,"revision":2})").body)["revision"], 6);
  EXPECT_NE(get("job.toml").body.find("over_locknut = 101"), std::string::npos);
  EXPECT_EQ(job()["undo_what"], "back to revision 2");
  const Json rows = Json::parse(get("revisions").body);
  EXPECT_EQ(rows[0]["how"], "back");
  EXPECT_EQ(Json::parse(post("back", R"({"base":6,"revision":2})").body)["revision"], 6)
      << "it is there already";
  EXPECT_EQ(Json::parse(post("undo", R"({"base":6})").body)["revision"], 7);
  EXPECT_EQ(get("job.toml").body, second);
}

TEST_F(ServerTest, UndoOfANameLeftTheUndoneOneInTheList) {
  const auto listed = [&] {
    return Json::parse(Client(port_).ask("GET", "/api/jobs").body)[0]["name"].get<std::string>();
  };
  const std::string before = listed();
  ASSERT_EQ(post("edits", edit(1, "job.name", "\"for the island\"")).status, 200);
  EXPECT_EQ(listed(), "for the island");
  ASSERT_EQ(post("undo", R"({"base":2})").status, 200);
  EXPECT_EQ(listed(), before);
  ASSERT_EQ(post("redo", R"({"base":3})").status, 200);
  EXPECT_EQ(listed(), "for the island");
  ASSERT_EQ(post("back", R"({"base":4,"revision":1})").status, 200);
  EXPECT_EQ(listed(), before);
}

TEST_F(ServerTest, ASheetBearsTheNumberThePageCountsBy) {
  ASSERT_EQ(post("edits", edit(1, "hub.over_locknut", "101")).status, 200);
  const auto mark = [&](const std::string& revision) {
    const std::string svg = get("sheets/summary-a4.svg?revision=" + revision).body;
    return svg.find(">" + revision + " (") != std::string::npos;
  };
  EXPECT_TRUE(mark("2"));
  EXPECT_TRUE(mark("1"));
}

TEST_F(ServerTest, AShortBladeIsMendedByOneOfTheWays) {
  ASSERT_EQ(post("edits", edit(1, "done.blades.left.short_by", "1.4")).status, 200);
  const Json plan = Json::parse(get("replan").body);
  ASSERT_GT(plan["ways"].size(), 1U);
  EXPECT_EQ(post("replan", R"({"base":2,"way":99})").status, 422);
  EXPECT_EQ(post("replan", R"({"base":1,"way":1})").status, 409);
  EXPECT_EQ(Json::parse(post("replan", R"({"base":2,"way":1})").body)["revision"], 3);
  EXPECT_EQ(job()["undo_what"], "mended: " + plan["ways"][0]["title"].get<std::string>());
  const Json after = Json::parse(get("replan").body);
  EXPECT_LT(after["ways"][0]["cost"].get<double>(), 1e-6);
  EXPECT_EQ(post("undo", R"({"base":3})").status, 200);
  EXPECT_EQ(Json::parse(get("replan").body), plan);
  ASSERT_EQ(post("edits", edit(4, "steering.axle_to_crown", "640")).status, 200);
  EXPECT_EQ(get("replan").status, 422);
}

TEST_F(ServerTest, SheetsSolidCardsStepsAndLog) {
  const Json sheets = Json::parse(get("sheets").body);
  ASSERT_GT(sheets.size(), 10U);
  for (const Json& s : sheets) {
    if (s["name"] != "fork-drawing.pdf" && s["name"] != "tables/cut-list.csv") continue;
    const Answered file = get("sheets/" + s["name"].get<std::string>());
    EXPECT_EQ(file.status, 200);
    EXPECT_EQ(file.body.size(), s["bytes"].get<std::size_t>());
  }
  EXPECT_EQ(get("solid.glb").body.substr(0, 4), "glTF");
  const Json cards = Json::parse(Client(port_).ask("GET", "/api/cards/" + id_).body)["cards"];
  ASSERT_GT(cards.size(), 8U);
  EXPECT_FALSE(cards[0]["big"]["value"].get<std::string>().empty());
  const Json tick{{"step", cards[0]["id"]}, {"done", true}, {"who", "phone"}};
  EXPECT_EQ(post("steps", tick.dump()).status, 200);
  EXPECT_TRUE(Json::parse(get("steps").body)["steps"][cards[0]["id"].get<std::string>()]["done"]);
  EXPECT_EQ(post("log", R"({"who":"I","what":"measured","key":"hub.axle","typed":"12.1"})").status, 200);
  EXPECT_EQ(Json::parse(get("log").body)[0]["typed"], "12.1");
}

TEST_F(ServerTest, UnitsSchemaAndPictures) {
  Client c(port_);
  const Json unit = Json::parse(c.ask("GET", "/api/unit?form=length&text=1%201/8%20in").body);
  EXPECT_NEAR(unit["value"].get<double>(), 28.575, 1e-9);
  EXPECT_EQ(Json::parse(c.ask("GET", "/api/unit?form=length&text=28.575").body)["other"], "1 1/8 in");
  EXPECT_TRUE(Json::parse(c.ask("GET", "/api/unit?form=length&text=five").body).contains("problem"));
  const Json schema = Json::parse(c.ask("GET", "/api/schema").body);
  EXPECT_GT(schema["rows"].size(), 150U);
  EXPECT_EQ(schema["cautions"], Json(solve::cautions()));
  EXPECT_EQ(c.ask("GET", "/api/pictures/hub.svg").status, 200);
  const Answered page = c.ask("GET", "/");
  EXPECT_EQ(page.status, 200);
  const Answered packed = c.ask("GET", "/", "", "Accept-Encoding: gzip, br\r\n");
  EXPECT_NE(packed.head.find("Content-Encoding: gzip"), std::string::npos);
  EXPECT_EQ(packed.body.substr(0, 2), "\x1f\x8b");
  EXPECT_NE(page.head.find("Content-Security-Policy: default-src 'self'"), std::string::npos);
}

TEST_F(ServerTest, NothingLeadsOutOfTheStore) {
  Client c(port_);
  for (const char* way :
       {"/../etc/passwd", "/%2e%2e/etc/passwd", "/assets/..%2f..%2fetc/passwd", "//etc/passwd",
        "/api/pictures/..%2f..%2fREADME.md", "/api/jobs/..%2f..", "/%00", "/%zz"}) {
    const Answered a = c.ask("GET", way);
    EXPECT_TRUE(a.status == 400 || a.status == 404) << way << a.status;
  }
  EXPECT_EQ(get("sheets/..%2F..%2Fhalfround.db").status, 404);
}

TEST_F(ServerTest, OtherHostsAndOtherPagesAreTurnedAway) {
  Client c(port_);
  ASSERT_TRUE(c.send("GET /api/jobs HTTP/1.1\r\nHost: evil.example\r\n\r\n"));
  EXPECT_EQ(c.receive().status, 421);
  ASSERT_TRUE(c.send("GET /api/jobs HTTP/1.1\r\n\r\n"));
  EXPECT_EQ(c.receive().status, 421);
  EXPECT_EQ(post("undo", "{}", "Origin: http://evil.example\r\n").status, 403);
  EXPECT_EQ(post("undo", "{}", "Origin: null\r\n").status, 403);
  const std::string ours = "Origin: http://127.0.0.1:" + std::to_string(port_) + "\r\n";
  EXPECT_EQ(post("edits", edit(1, "hub.axle", "11"), ours).status, 200);
}

TEST_F(ServerTest, WhatIsTooBigOrTooDeepIsRefusedAndSaid) {
  EXPECT_EQ(post("edits", std::string(3 << 20, ' ')).status, 413);
  Client chunked(port_);
  ASSERT_TRUE(chunked.send("POST /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port_) +
                           "\r\nTransfer-Encoding: chunked\r\n\r\n"));
  for (int i = 0; i < 40; ++i)
    if (!chunked.send("10000\r\n" + std::string(0x10000, 'a') + "\r\n")) break;
  EXPECT_EQ(chunked.receive().status, 413);
  EXPECT_EQ(Client(port_).ask("GET", "/", "", "X: " + std::string(40'000, 'a') + "\r\n").status, 431);
  EXPECT_EQ(post("edits", "{\"edits\":" + std::string(100'000, '[')).status, 400);
  EXPECT_EQ(post("edits", "{\"edits\":7}").status, 400);
  EXPECT_EQ(post("edits", "not json").status, 400);
  EXPECT_EQ(Client(port_).ask("PATCH", "/api/jobs").status, 405);
}

TEST_F(ServerTest, FromTheNetworkOnlyPairedDevicesComeIn) {
  Client here(port_);
  EXPECT_FALSE(Json::parse(here.ask("GET", "/api/network").body)["on"]);
  EXPECT_EQ(here.ask("POST", "/api/pairing", "{}").status, 409);
  const Answered on = here.ask("POST", "/api/network", R"({"on":true})");
  if (on.status != 200) GTEST_SKIP() << "this machine is in no network: " << on.body;
  std::string address = Json::parse(on.body)["address"];
  address = address.substr(0, address.find(':'));
  Client phone(port_, address);
  EXPECT_EQ(phone.ask("GET", "/").status, 200);
  EXPECT_EQ(phone.ask("GET", "/api/jobs").status, 401);
  EXPECT_EQ(phone.ask("GET", "/api/jobs", "", "Authorization: Bearer guess\r\n").status, 401);
  const Json pair = Json::parse(here.ask("POST", "/api/pairing", "{}").body);
  EXPECT_NE(pair["qr_svg"].get<std::string>().find("<svg"), std::string::npos);
  const std::string link = pair["link"];
  const std::string token = link.substr(link.find("token=") + 6),
                    head = "Authorization: Bearer " + token + "\r\n";
  EXPECT_EQ(token.size(), 43U);
  EXPECT_EQ(phone.ask("GET", "/api/jobs", "", head).status, 200);
  EXPECT_EQ(phone.ask("GET", "/api/jobs?token=" + token).status, 200);
  EXPECT_EQ(phone.ask("POST", "/api/network", R"({"on":false})", head).status, 403);
  EXPECT_EQ(phone.ask("POST", "/api/pairing", "{}", head).status, 403);
  EXPECT_EQ(here.ask("DELETE", "/api/pairing/" + std::to_string(pair["token_id"].get<int>())).status, 200);
  EXPECT_TRUE(phone.hung_up());
  Client again(port_, address);
  EXPECT_EQ(again.ask("GET", "/api/jobs", "", head).status, 401);
  for (int i = 0; i < 20; ++i) (void)again.ask("GET", "/api/jobs?token=guess" + std::to_string(i));
  EXPECT_EQ(again.ask("GET", "/api/jobs").status, 429);
  EXPECT_FALSE(Json::parse(here.ask("POST", "/api/network", R"({"on":false})").body)["on"]);
  EXPECT_FALSE(Client(port_, address).open());
}

TEST_F(ServerTest, TwoSocketsStayInStep) {
  Socket laptop(port_, id_), phone(port_, id_);
  const Json key = Json::array({{{"key", "hub.over_locknut"}, {"typed", "110"}}});
  laptop.say({{"do", "try"}, {"id", 1}, {"base", 1}, {"edits", key}, {"show", "side"}});
  const Json tried = laptop.answer(1);
  EXPECT_FALSE(tried["saved"]);
  EXPECT_EQ(tried["revision"], 1);
  EXPECT_EQ(tried["fields"]["hub.over_locknut"]["value"], 110);
  EXPECT_EQ(tried["pages"][0]["name"], "from the rider's left");
  laptop.say({{"do", "set"}, {"id", 2}, {"base", 1}, {"edits", key}});
  EXPECT_EQ(laptop.answer(2)["revision"], 2);
  EXPECT_EQ(phone.hear(), (Json{{"event", "changed"}, {"revision", 2}}));
  ASSERT_EQ(post("steps", R"({"step":"measure 1","done":true,"who":"phone"})").status, 200);
  EXPECT_EQ(phone.hear()["event"], "step");
  laptop.say({{"do", "undo"}, {"id", 3}});
  EXPECT_EQ(laptop.answer(3)["fields"]["hub.over_locknut"]["value"], 100);
  EXPECT_TRUE(tried["light"]);
  laptop.say({{"do", "show"}, {"id", 4}, {"show", "front"}});
  const Json shown = laptop.answer(4);
  EXPECT_FALSE(shown["light"]);
  // a try has every study, only with fewer draws
  EXPECT_EQ(tried["verdicts"].size(), shown["verdicts"].size());
}

TEST_F(ServerTest, WhatLiesOverTheForkStaysOnItsPage) {
  const std::string frame = get("view?show=side&over=sweep").body;
  const Json page = header_of(frame)["pages"][0];
  std::uint32_t length = 0;
  std::memcpy(&length, frame.data(), 4);
  std::size_t at = (4 + length + 3) / 4 * 4, over = 0;
  for (const Json& g : page["groups"]) {
    for (const Json& i : g["items"]) {
      if (i["k"] == "t") continue;
      std::size_t n = 0;
      for (const Json& k : i["n"]) n += k.get<std::size_t>();
      for (; n > 0; --n, at += 8) {
        if (g["name"] != "over-sweep") continue;
        float xy[2];
        std::memcpy(xy, frame.data() + at, 8);
        EXPECT_TRUE(xy[0] >= -0.01F && xy[0] <= page["width"].get<float>() + 0.01F) << xy[0];
        EXPECT_TRUE(xy[1] >= -0.01F && xy[1] <= page["height"].get<float>() + 0.01F) << xy[1];
        ++over;
      }
    }
  }
  EXPECT_GT(over, 20U);
}

TEST_F(ServerTest, ThePagesGoAheadOfTheirViewWhenAsked) {
  Socket s(port_, id_);
  const auto edit = [](const char* typed) {
    return Json::array({{{"key", "hub.over_locknut"}, {"typed", typed}}});
  };
  s.say({{"do", "try"}, {"id", 1}, {"edits", edit("110")}, {"ahead", true}, {"show", "front,side"}});
  const Json page = s.answer(1), view = s.answer(1);
  EXPECT_EQ(page.size(), 2u);  // its number and the pages
  ASSERT_EQ(page["pages"].size(), 2u);
  EXPECT_EQ(page["pages"][1]["name"], "from the rider's left");
  EXPECT_FALSE(view.contains("pages"));
  EXPECT_TRUE(view["solved"]);
  // together they are what comes at once to those who don't ask
  s.say({{"do", "try"}, {"id", 2}, {"edits", edit("110")}});
  const Json whole = s.answer(2);
  EXPECT_EQ(page["pages"], whole["pages"]);
  EXPECT_EQ(view["numbers"], whole["numbers"]);
  EXPECT_EQ(view["verdicts"], whole["verdicts"]);  // with their places on both pages
  for (const Json& v : view["verdicts"]) EXPECT_EQ(v["places"].size(), 2u);
  // no fork: nothing to go ahead
  s.say({{"do", "try"}, {"id", 3}, {"edits", edit("10")}, {"ahead", true}});
  const Json none = s.answer(3);
  EXPECT_FALSE(none["solved"]);
  EXPECT_TRUE(none["pages"].empty());
  // what lies over the fork comes from its studies: all at once
  s.say({{"do", "try"}, {"id", 4}, {"edits", edit("112")}, {"ahead", true}, {"over", "stress"}});
  EXPECT_TRUE(s.answer(4).contains("verdicts"));
}

TEST_F(ServerTest, WhatMayBeTypedNextIsDrawnBeforeItIs) {
  Socket s(port_, id_);
  const auto edit = [](const char* typed) {
    return Json::array({{{"key", "hub.over_locknut"}, {"typed", typed}}});
  };
  const Json rim = {{"key", "wheel.rim_width"}, {"typed", "26"}};
  const Json asked = Json::array({"10", "105", "not a length", "108"});
  s.say({{"do", "foresee"},
         {"id", 1},
         {"key", "hub.over_locknut"},
         {"typed", asked},
         {"edits", Json::array({rim})},
         {"show", "front,side"}});
  // there is no fork for two of them
  const Json first = s.answer(1), second = s.answer(1);
  EXPECT_EQ(first["typed"], "105");
  EXPECT_EQ(first["revision"], 1);
  EXPECT_EQ(second["typed"], "108");
  // it is what would be drawn if it were typed; then its view comes without pages
  Json both = edit("108");
  both.insert(both.begin(), rim);
  s.say({{"do", "try"}, {"id", 2}, {"edits", both}, {"foreseen", 1}, {"ahead", true}});
  const Json view = s.answer(2);
  EXPECT_TRUE(view["solved"]);
  EXPECT_FALSE(view.contains("pages"));
  EXPECT_EQ(view["fields"]["hub.over_locknut"]["value"], 108);
  for (const Json& v : view["verdicts"]) EXPECT_EQ(v["places"].size(), 2u);
  s.say({{"do", "try"}, {"id", 3}, {"edits", both}});
  const Json whole = s.answer(3);
  EXPECT_EQ(whole["pages"], second["pages"]);
  EXPECT_EQ(whole["numbers"], view["numbers"]);
  EXPECT_EQ(whole["verdicts"], view["verdicts"]);
  // foreseen, but the job has moved on: the pages come with the view; and what can't be read has none
  ASSERT_EQ(post("edits", R"({"base":1,"edits":[{"key":"job.name","typed":"another"}]})").status, 200);
  s.say({{"do", "try"}, {"id", 4}, {"edits", both}, {"foreseen", 1}});
  EXPECT_EQ(s.answer(4)["pages"], second["pages"]);
  s.say({{"do", "try"}, {"id", 5}, {"edits", edit("not a length")}, {"foreseen", 2}});
  const Json unreadable = s.answer(5);
  EXPECT_FALSE(unreadable["solved"]);
  EXPECT_TRUE(unreadable["pages"].empty());
}

TEST_F(ServerTest, WhatIsForeseenGivesWayAndIsNeverInTheWay) {
  Socket s(port_, id_);
  const auto foresee = [&](int id, const Json& typed, const char* over) {
    s.say({{"do", "foresee"},
           {"id", id},
           {"key", "hub.over_locknut"},
           {"typed", typed},
           {"edits", Json::array()},
           {"over", over}});
  };
  Json many = Json::array();
  for (int i = 0; i < 32; ++i) many.push_back(std::to_string(100 + i));
  for (int id = 1; id <= 50; ++id) foresee(id, many, "");
  s.say(
      {{"do", "set"}, {"id", 51}, {"edits", Json::array({{{"key", "hub.over_locknut"}, {"typed", "109"}}})}});
  EXPECT_EQ(s.answer(51)["revision"], 2);
  // of many questions the last; of that one all, in their order, on what is newest by then
  foresee(52, Json::array({"101", "102"}), "");
  for (const char* typed : {"101", "102"}) {
    const Json heard = s.answer(52);
    EXPECT_EQ(heard["typed"], typed);
    EXPECT_EQ(heard["revision"], 2);
  }
  // what lies over the fork needs its studies
  foresee(53, Json::array({"103"}), "stress");
  s.say({{"do", "show"}, {"id", 54}, {"over", ""}});
  Json next;
  do next = s.hear();
  while (next.value("reply", 0) != 53 && next.value("reply", 0) != 54);
  EXPECT_EQ(next["reply"], 54);
  // one text too many, or none of a text's kind
  many.push_back("99");
  foresee(55, many, "");
  EXPECT_EQ(s.hear()["event"], "not-understood");
  foresee(56, Json::array({1}), "");
  EXPECT_EQ(s.hear()["event"], "not-understood");
}

TEST_F(ServerTest, OfManyTriesTheLastIsAnsweredWhole) {
  Socket s(port_, id_);
  for (int i = 1; i <= 200; ++i)
    s.say({{"do", "try"},
           {"id", i},
           {"ahead", true},
           {"edits", Json::array({{{"key", "hub.over_locknut"}, {"typed", std::to_string(99 + i % 20)}}})}});
  Json last = s.answer(200);
  if (!last.contains("fields")) last = s.answer(200);
  EXPECT_EQ(last["fields"]["hub.over_locknut"]["value"], 99);
}

TEST_F(ServerTest, OfManyTriesTheLastIsAnswered) {
  Socket s(port_, id_);
  for (int i = 1; i <= 200; ++i)
    s.say({{"do", "try"},
           {"id", i},
           {"edits", Json::array({{{"key", "hub.over_locknut"}, {"typed", std::to_string(99 + i % 20)}}})}});
  const Json last = s.answer(200);
  EXPECT_EQ(last["fields"]["hub.over_locknut"]["value"], 99);
}

TEST_F(ServerTest, OfManyLooksTheLastIsAnsweredToo) {
  Socket s(port_, id_);
  for (int i = 1; i <= 200; ++i) s.say({{"do", "show"}, {"id", i}, {"show", "section"}, {"at", i}});
  EXPECT_TRUE(s.answer(200)["solved"]);
}

}  // namespace
}  // namespace halfround::serve
