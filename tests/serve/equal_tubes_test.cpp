// Joints of equal and tangent tubes over the page's and the phone's door: cards, views, solid.
#include "outside/solids/forks.h"
#include "serve/asking.h"

namespace halfround::serve {
namespace {

class EqualTubesServed : public AskingTest, public testing::WithParamInterface<forks::NamedFork> {};

// 2026-11-30: a solid of a blade on a barrel of its own diameter never came back.
TEST_P(EqualTubesServed, GiveCardsViewsAndASolid) {
  Client c(port_);
  const Answered made = c.ask("POST", "/api/jobs", Json{{"toml", GetParam().text}}.dump());
  ASSERT_EQ(made.status, 200) << made.body;
  id_ = Json::parse(made.body)["id"];
  const Answered cards = c.ask("GET", "/api/cards/" + id_);
  ASSERT_EQ(cards.status, 200) << cards.body.substr(0, 300);
  EXPECT_GT(Json::parse(cards.body)["cards"].size(), 8u);
  const Answered solid = get("solid.glb");
  ASSERT_EQ(solid.status, 200) << solid.body.substr(0, 300);
  EXPECT_EQ(solid.body.substr(0, 4), "glTF");
  EXPECT_EQ(get("sheets").status, 200);
}

INSTANTIATE_TEST_SUITE_P(Cases, EqualTubesServed, testing::ValuesIn(forks::equal_tubes()),
                         [](const auto& p) { return p.param.name; });

}  // namespace
}  // namespace halfround::serve
