// Several windows on one job: nothing is overwritten without a word, undo is of what was seen, every revision
// can be had again.
#include <gtest/gtest.h>

#include "asking.h"

namespace halfround::serve {
namespace {

class WindowsTest : public AskingTest {
 protected:
  static Json set(int id, std::int64_t base, const std::string& key, const std::string& typed) {
    return {{"do", "set"}, {"id", id}, {"base", base}, {"edits", {{{"key", key}, {"typed", typed}}}}};
  }
  Answered back(std::int64_t base, std::int64_t to) {
    return post("back", Json{{"base", base}, {"revision", to}}.dump());
  }
};

TEST_F(WindowsTest, AnAnswerSaysWhichRevisionTheEntryBecame) {
  Socket one(port_, id_);
  one.say(set(1, 1, "hub.over_locknut", "101"));
  EXPECT_EQ(one.answer(1)["made"], 2);
  ASSERT_EQ(post("edits", edit(2, "hub.axle", "11")).status, 200);
  // the same once more, as after a line that broke: nothing new, and nothing to ask about
  one.say(set(2, 1, "hub.over_locknut", "101"));
  const Json again = one.answer(2);
  EXPECT_EQ(again["saved"], true);
  EXPECT_EQ(again["made"], 3);
  one.say(set(3, 1, "hub.over_locknut", "102"));
  const Json refused = one.answer(3);
  EXPECT_EQ(refused["saved"], false);
  EXPECT_FALSE(refused.contains("made"));
  EXPECT_EQ(refused["problems"][0]["code"], "edit-conflict");
}

TEST_F(WindowsTest, TwoEntriesInOneFieldEachOnTheOneBeforeAreBothTaken) {
  Socket one(port_, id_);
  one.say(set(1, 1, "hub.over_locknut", "101"));
  const auto made = one.answer(1)["made"].get<std::int64_t>();
  one.say(set(2, made, "hub.over_locknut", "102"));
  EXPECT_EQ(one.answer(2)["fields"]["hub.over_locknut"]["value"], 102);
}

TEST_F(WindowsTest, UndoOfWhatWasNotSeenDoesNothingAndSaysSo) {
  Socket one(port_, id_);
  ASSERT_EQ(post("edits", edit(1, "hub.axle", "11")).status, 200);
  ASSERT_EQ(post("edits", edit(2, "hub.axle", "10")).status, 200);
  EXPECT_EQ(post("undo", R"({"base":2})").status, 409);
  one.say({{"do", "undo"}, {"id", 1}, {"base", 2}});
  const Json refused = one.answer(1);
  EXPECT_EQ(refused["saved"], false);
  EXPECT_EQ(refused["revision"], 3);
  EXPECT_NE(refused["problems"][0]["what"].get<std::string>().find("another window"), std::string::npos);
  one.say({{"do", "undo"}, {"id", 2}, {"base", 3}});
  EXPECT_EQ(one.answer(2)["fields"]["hub.axle"]["value"], 11);
}

TEST_F(WindowsTest, AnyRevisionComesBackInOneStepAndUndoTakesThatBack) {
  const Json first = job();
  for (int n = 1; n <= 4; ++n)
    ASSERT_EQ(post("edits", edit(n, "hub.over_locknut", std::to_string(100 + n))).status, 200);
  const Json before = job();
  ASSERT_EQ(back(5, 1).status, 200);
  EXPECT_EQ(job()["toml"], first["toml"]);
  EXPECT_EQ(job()["revision"], 6);
  ASSERT_EQ(post("undo", R"({"base":6})").status, 200);
  EXPECT_EQ(job()["toml"], before["toml"]);
  ASSERT_EQ(post("redo", R"({"base":7})").status, 200);
  EXPECT_EQ(job()["toml"], first["toml"]);
  // what stands there already makes no revision
  EXPECT_EQ(Json::parse(back(8, 1).body)["revision"], 8);
  EXPECT_EQ(Json::parse(get("revisions").body).size(), 8U);
}

TEST_F(WindowsTest, TheWayBackIsOfWhatWasSeenToo) {
  ASSERT_EQ(post("edits", edit(1, "hub.axle", "11")).status, 200);
  const Json before = job();
  EXPECT_EQ(back(1, 1).status, 409);
  EXPECT_EQ(back(2, 7).status, 404);
  EXPECT_EQ(back(2, 0).status, 404);
  EXPECT_EQ(back(2, -1).status, 404);
  EXPECT_EQ(job(), before);
  Socket one(port_, id_);
  one.say({{"do", "back"}, {"id", 1}, {"base", 2}, {"revision", 1}});
  EXPECT_EQ(one.answer(1)["made"], 3);
}

TEST_F(WindowsTest, PageAndPaperBearTheSameNumber) {
  ASSERT_EQ(post("edits", edit(1, "hub.over_locknut", "101")).status, 200);
  const auto paper = job()["paper"].get<std::string>();
  const Json all = Json::parse(get("revisions").body);
  EXPECT_EQ(all[0]["paper"], paper);
  EXPECT_NE(all[1]["paper"], paper);
  EXPECT_NE(get("sheets/fork-drawing.svg").body.find(paper), std::string::npos);
}

TEST_F(WindowsTest, ACardSaysWhatAMeasurementIsHeldAgainst) {
  const Json cards = Json::parse(Client(port_).ask("GET", "/api/cards/" + id_).body)["cards"];
  int held = 0, limited = 0;
  for (const Json& card : cards) {
    if (!card.contains("wanted")) continue;
    for (const Json& w : card["wanted"]) {
      ++held, limited += w.contains("limit") ? 1 : 0;
      const auto read = base::parse_quantity(w["words"].get<std::string>(),
                                             w["form"] == "angle" ? base::Kind::angle : base::Kind::length);
      ASSERT_TRUE(read) << w;
    }
  }
  EXPECT_GT(held, 10);
  EXPECT_GT(limited, 4);
}

}  // namespace
}  // namespace halfround::serve
