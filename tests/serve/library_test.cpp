// The shop's library over the network: read, edited by several devices, undone, and at once in cards and
// sheets.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "client.h"
#include "house.h"

namespace halfround::serve {
namespace {

using Json = nlohmann::json;

class LibraryTest : public HouseTest {
 protected:
  Answered post(const std::string& what, const Json& body) {
    return Client(port_).ask("POST", "/api/shop/" + what, body.dump());
  }
  Answered edit(std::int64_t base, const std::string& key, const Json& typed) {
    return post("edits", {{"base", base}, {"edits", {{{"key", key}, {"typed", typed}}}}});
  }
  Json shop() { return Json::parse(Client(port_).ask("GET", "/api/shop").body); }
  std::string cards() { return Client(port_).ask("GET", "/api/cards/" + id_).body; }
};

TEST_F(LibraryTest, EveryCellIsTold) {
  const Json is = shop();
  EXPECT_EQ(is["revision"], 1);
  EXPECT_TRUE(is["problems"].empty());
  EXPECT_EQ(is["fields"]["cutters[1].diameter"]["typed"], "1 1/8 in");
  EXPECT_NEAR(is["fields"]["cutters[1].diameter"]["value"].get<double>(), 28.575, 1e-9);
  EXPECT_EQ(is["fields"]["shop.name"]["form"], "text");
  const Json rows = Json::parse(Client(port_).ask("GET", "/api/shop/schema").body)["rows"];
  for (const char* key : {"stock[].lot", "rods[].measured", "cutters[].note"})
    EXPECT_TRUE(std::ranges::any_of(rows, [&](const Json& r) { return r["key"] == key; })) << key;
  EXPECT_EQ(Client(port_).ask("GET", "/api/shop/cupboard").status, 404);
}

TEST_F(LibraryTest, AnEditKeepsCommentsAndOutlivesARestart) {
  ASSERT_EQ(edit(1, "stock[2].lot", "A 113").status, 200);
  EXPECT_NE(shop()["toml"].get<std::string>().find("# measured on a cut, not read off the shank"),
            std::string::npos);
  stop();
  start();
  EXPECT_EQ(shop()["fields"]["stock[2].lot"]["typed"], "A 113");
  EXPECT_EQ(post("undo", {{"base", 2}}).status, 200);
  EXPECT_FALSE(shop()["fields"].contains("stock[2].lot"));
  EXPECT_TRUE(shop()["can_redo"]);
  EXPECT_EQ(post("redo", {{"base", 3}}).status, 200);
  EXPECT_EQ(shop()["revision"], 4);
  // it is no job
  EXPECT_EQ(Json::parse(Client(port_).ask("GET", "/api/jobs").body).size(), 1U);
}

TEST_F(LibraryTest, TwoDevicesLoseNothing) {
  ASSERT_EQ(edit(1, "cutters[1].reach", "40").status, 200);
  EXPECT_EQ(Json::parse(edit(1, "cutters[2].reach", "41").body)["revision"], 3);
  EXPECT_EQ(edit(1, "cutters[1].reach", "42").status, 409);
  EXPECT_EQ(edit(1, "cutters", "[{kind = \"hole saw\", diameter = 30}]").status, 409);
  EXPECT_EQ(post("undo", {{"base", 1}}).status, 409);
  EXPECT_EQ(shop()["fields"]["cutters[1].reach"]["typed"], "40");
}

TEST_F(LibraryTest, TheShopStaysSound) {
  const Answered words = edit(1, "cutters[1].diameter", "as thick as a thumb");
  EXPECT_EQ(words.status, 422);
  EXPECT_EQ(Json::parse(words.body)["problems"][0]["where"]["key"], "cutters[1].diameter");
  EXPECT_EQ(edit(1, "cutters[1].kind", nullptr).status, 422);
  EXPECT_EQ(edit(1, "cutters", "[{diameter = 30}]").status, 422);
  EXPECT_EQ(edit(1, "cuters[1].diameter", "30").status, 422);
  EXPECT_EQ(post("edits", {{"edits", 7}}).status, 400);
  EXPECT_EQ(shop()["revision"], 1);
}

TEST_F(LibraryTest, CardsAndSheetsUseItAtOnce) {
  const std::string before = cards();
  ASSERT_EQ(edit(1, "cutters[1].name", "the good saw").status, 200);
  ASSERT_EQ(edit(2, "stock[1].lot", "A 113").status, 200);
  EXPECT_EQ(before.find("the good saw"), std::string::npos);
  EXPECT_NE(cards().find("the good saw"), std::string::npos) << cards();
  const std::string list = Client(port_).ask("GET", "/api/jobs/" + id_ + "/sheets/tables/cut-list.csv").body;
  EXPECT_NE(list.find("lot A 113"), std::string::npos) << list;
  ASSERT_EQ(post("undo", {{"base", 3}}).status, 200);
  EXPECT_EQ(Client(port_).ask("GET", "/api/jobs/" + id_ + "/sheets/tables/cut-list.csv").body.find("A 113"),
            std::string::npos);
}

TEST_F(LibraryTest, AFileNamedAtTheStartIsReadOverWhatIsThere) {
  ASSERT_EQ(edit(1, "shop.name", "the barn").status, 200);
  std::string text = shop()["toml"];
  text += "\n# seen\n";
  ASSERT_TRUE(desk_->open_shop(text, "other.toml"));
  EXPECT_EQ(shop()["revision"], 2);
  ASSERT_TRUE(desk_->open_shop(text, "other.toml", true));
  EXPECT_EQ(shop()["revision"], 3);
  ASSERT_TRUE(desk_->open_shop(text, "other.toml", true));
  EXPECT_EQ(shop()["revision"], 3);
  const auto wrong = desk_->open_shop("version = 1\n", "other.toml", true);
  ASSERT_FALSE(wrong);
  EXPECT_EQ(wrong.error().status, 422);
}

}  // namespace
}  // namespace halfround::serve
