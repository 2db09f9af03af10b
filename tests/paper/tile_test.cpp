#include "paper/tile.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "paper/clip.h"
#include "scene.h"

namespace halfround::paper {
namespace {

bool holds(const Box& box, const Vec2& p) {
  return (p.array() >= box.min.array() - 1e-9).all() && (p.array() <= box.max.array() + 1e-9).all();
}

Page diagonal() {
  Page page{.width = 800,
            .height = 900,
            .name = "long",
            .groups = {{.name = "outline", .label = "", .items = {}, .clip = {}}}};
  page.groups[0].items.emplace_back(line({20, 30}, {60, 880}));
  page.groups[0].items.emplace_back(line({60, 880}, {780, 870}));
  return page;
}

TEST(Tile, LiveAreasKeepTheLimitAndOverlapByTenMillimetres) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const TilePlan plan = plan_tiles(big_scene(), paper);
    const Vec2 size = size_of(paper);
    const Box room = content_box(size.x(), size.y());
    for (const Tile& t : plan.tiles) {
      EXPECT_LE(t.area.width(), std::min(190.0, room.width()) + 1e-9);
      EXPECT_LE(t.area.height(), std::min(255.0, room.height()) + 1e-9);
    }
    EXPECT_NEAR(plan.tiles[0].area.max.x() - plan.tiles[1].area.min.x(), kOverlap, 1e-9);
    EXPECT_NEAR(plan.tiles[static_cast<std::size_t>(plan.columns)].area.max.y() - plan.tiles[0].area.min.y(),
                kOverlap, 1e-9);
  }
}

TEST(Tile, EveryDrawnPointLiesInATileThatIsPrinted) {
  for (const Page& big : {big_scene(), diagonal()}) {
    const TilePlan plan = plan_tiles(big, Paper::a4);
    for (const Group& group : big.groups)
      for (const Item& item : group.items)
        if (const auto* path = std::get_if<Path>(&item))
          for (std::size_t i = 1; i < path->points.size(); ++i)
            for (double t = 0; t <= 1; t += 0.01) {
              const Vec2 p = path->points[i - 1] + t * (path->points[i] - path->points[i - 1]);
              EXPECT_TRUE(std::any_of(plan.tiles.begin(), plan.tiles.end(),
                                      [&](const Tile& one) { return !one.blank && holds(one.area, p); }));
            }
  }
}

TEST(Tile, SkipsBlankTilesButShowsThemOnTheMap) {
  const TilePlan plan = plan_tiles(diagonal(), Paper::a4);
  const auto blank =
      std::count_if(plan.tiles.begin(), plan.tiles.end(), [](const Tile& t) { return t.blank; });
  EXPECT_GT(blank, 5);
  const Sheet sheet = tile(diagonal(), Paper::a4, scene_title());
  EXPECT_EQ(sheet.pages.size(), plan.tiles.size() - static_cast<std::size_t>(blank) + 1);
  const std::string map = to_text({.stem = "m", .title = "m", .pages = {sheet.pages[0]}});
  for (const Tile& t : plan.tiles) EXPECT_NE(map.find('"' + t.name + '"'), std::string::npos) << t.name;
  EXPECT_NE(map.find("\"blank\""), std::string::npos);
  EXPECT_NE(map.find("NOT TO SCALE"), std::string::npos);
}

TEST(Tile, AreNamedLikeSquaresOfAMap) {
  const TilePlan plan = plan_tiles(big_scene(), Paper::a4);
  ASSERT_EQ(plan.columns, 2);
  EXPECT_EQ(plan.tiles[0].name, "A1");
  EXPECT_EQ(plan.tiles[1].name, "A2");
  EXPECT_EQ(plan.tiles[2].name, "B1");
  EXPECT_GT(plan.tiles[0].area.min.y(), plan.tiles[2].area.min.y());
  EXPECT_LT(plan.tiles[0].area.min.x(), plan.tiles[1].area.min.x());
}

// what is drawn on a tile, moved back, is what the big page shows there
TEST(Tile, PagesShowTheDrawingTrueToSizeAndNothingOutsideTheLiveArea) {
  const Page big = big_scene();
  const TilePlan plan = plan_tiles(big, Paper::letter);
  const Sheet sheet = tile(big, Paper::letter, scene_title());
  ASSERT_EQ(sheet.pages.size(), plan.tiles.size() + 1);
  for (std::size_t i = 0; i < plan.tiles.size(); ++i) {
    const Page& page = sheet.pages[i + 1];
    const Box room = content_box(page.width, page.height);
    double on_tile = 0, on_big = 0;
    for (const Group& group : page.groups) {
      if (!group.clip) continue;
      for (const Item& item : group.items)
        if (const auto* path = std::get_if<Path>(&item); path && !path->filled) {
          on_tile += length_of(*path);
          for (const Vec2& p : path->points) EXPECT_TRUE(holds(room, p));
        }
    }
    for (const Group& group : big.groups)
      for (const Item& item : group.items)
        for (const Item& part : clipped(item, plan.tiles[i].area))
          if (const auto* path = std::get_if<Path>(&part); path && !path->filled) on_big += length_of(*path);
    EXPECT_NEAR(on_tile, on_big, 1e-6) << plan.tiles[i].name;
  }
}

// each cross is drawn on both tiles at the same place of the drawing
TEST(Tile, RegistrationCrossesOfNeighboursFallTogether) {
  const Page big = big_scene();
  const TilePlan plan = plan_tiles(big, Paper::a4);
  const Sheet sheet = tile(big, Paper::a4, scene_title());
  std::vector<Vec2> centres;
  for (std::size_t i = 0; i < plan.tiles.size(); ++i) {
    const Page& page = sheet.pages[i + 1];
    const Group& marks = *std::find_if(page.groups.begin(), page.groups.end(),
                                       [](const Group& g) { return g.name == "tiles"; });
    const Vec2 live = std::get<Path>(marks.items.front()).points.front();
    for (const Item& item : marks.items)
      if (const auto* path = std::get_if<Path>(&item); path && path->points.size() > 10)
        centres.push_back(0.5 * (path->points[0] + path->points[path->points.size() / 2]) - live +
                          plan.tiles[i].area.min);
  }
  EXPECT_EQ(centres.size(), 28u);  // 2 x 3 tiles: 7 shared edges, 2 crosses each, on both tiles
  for (const Vec2& c : centres)
    EXPECT_EQ(
        std::count_if(centres.begin(), centres.end(), [&](const Vec2& d) { return (c - d).norm() < 1e-6; }),
        2);
}

TEST(Tile, AnEmptyPageGivesTheMapOnly) {
  const Sheet sheet =
      tile({.width = 300, .height = 300, .name = "none", .groups = {}}, Paper::a4, scene_title());
  EXPECT_EQ(sheet.pages.size(), 1u);
}

}  // namespace
}  // namespace halfround::paper
