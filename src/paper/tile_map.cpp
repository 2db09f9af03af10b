#include "paper/tile_map.h"

#include <algorithm>

#include "paper/draughting.h"
#include "paper/pen.h"
#include "paper/tile.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

constexpr const char* kSteps[] = {
    "1. Print at 100 % (\"actual size\"), never \"fit to page\". Measure the 100 mm bar and the square of "
    "one page.",
    "2. Cut each tile along its grey edge at the right and at the bottom; leave the other edges.",
    "3. Lay cross on cross (violet, with the neighbour's name), start with the upper left tile, tape from "
    "behind.",
    "4. Check a long dimension of the drawing with a steel rule before you lay steel on it.",
};

// strokes only, thin: letters and hatching would be mud at this size
void draw_reduced(Group& map, const Page& big, const auto& reduce) {
  for (const Group& group : big.groups) {
    if (is_furniture(group) || group.name == "dimensions") continue;
    for (const Item& item : group.items) {
      const auto* path = std::get_if<Path>(&item);
      if (!path || path->filled) continue;
      Path small{.points = {},
                 .closed = path->closed,
                 .stroke = {Weight::thin, Dash::solid,
                            path->stroke.weight == Weight::thin ? Ink::faint : Ink::graphite}};
      // points closer than 0.1 mm on the map say nothing
      for (const Vec2& p : path->points) {
        const Vec2 q = reduce(p);
        if (small.points.empty() || &p == &path->points.back() || (q - small.points.back()).norm() > 0.1)
          small.points.push_back(q);
      }
      map.items.emplace_back(std::move(small));
    }
  }
}

// a light band where a tile lies over its right and its lower neighbour
void draw_overlaps(Group& map, const Tile& tile, const TilePlan& plan, const auto& reduce) {
  const auto band = [&](const Vec2& low, const Vec2& high) {
    const Vec2 a = reduce(low), b = reduce(high);
    map.items.emplace_back(Area{.rings = {{a, {b.x(), a.y()}, b, {a.x(), b.y()}}},
                                .fill = Area::Fill::tone,
                                .tone = 0.12,
                                .ink = Ink::hand});
  };
  const Box& area = tile.area;
  if (tile.column + 1 < plan.columns) band({area.max.x() - kOverlap, area.min.y()}, area.max);
  if (tile.row + 1 < plan.rows) band(area.min, {area.max.x(), area.min.y() + kOverlap});
}

void draw_tile(Group& tiles, const Tile& tile, const auto& reduce) {
  const Box box{reduce(tile.area.min), reduce(tile.area.max)};
  tiles.items.emplace_back(
      rectangle(box, {tile.blank ? Weight::thin : Weight::medium, tile.blank ? Dash::dashed : Dash::solid,
                      tile.blank ? Ink::faint : Ink::hand}));
  const double height = std::clamp(0.2 * std::min(box.width(), box.height()), kLeastLetter, 5.0);
  Text name{.at = box.centre() - Vec2(0, height / 2),
            .text = tile.name,
            .height = height,
            .anchor = Anchor::centre,
            .ink = tile.blank ? Ink::faint : Ink::hand,
            .bold = true,
            .backed = true};
  tiles.items.emplace_back(name);
  if (!tile.blank) return;
  name.at.y() -= 1.6 * std::min(height, 2.5);
  name.height = std::min(height, 2.5);
  name.text = "blank";
  name.bold = false;
  tiles.items.emplace_back(name);
}

}  // namespace

Page map_page(const Page& big, const TilePlan& plan, const Vec2& size) {
  Page page{.width = size.x(), .height = size.y(), .name = big.name + ", map of the tiles", .groups = {}};
  const Box box = content_box(size.x(), size.y());
  Group words{.name = "text", .label = "how to join the tiles", .items = {}, .clip = {}};
  double y = box.max.y() - 9;
  words.items.emplace_back(
      Text{.at = {box.min.x() + 2, y}, .text = "Map of the tiles", .height = 5, .bold = true});
  words.items.emplace_back(Text{.at = {box.max.x() - 2, y},
                                .text = "NOT TO SCALE",
                                .height = 5,
                                .anchor = Anchor::right,
                                .ink = Ink::warning,
                                .bold = true});
  y -= 9;
  for (const char* step : kSteps) {
    for (const std::string& row : wrapped(step, 2.5, box.width() - 4)) {
      words.items.emplace_back(Text{.at = {box.min.x() + 2, y}, .text = row, .height = 2.5});
      y -= 4.6;
    }
    y -= 0.8;
  }

  // the plan's own extent, reduced into what is left of the page
  Box whole = plan.tiles.front().area;
  for (const Tile& tile : plan.tiles) {
    whole.min = whole.min.cwiseMin(tile.area.min);
    whole.max = whole.max.cwiseMax(tile.area.max);
  }
  const Box room{box.min + Vec2(4, 4), {box.max.x() - 4, y - 2}};
  const double factor = std::min({room.width() / whole.width(), room.height() / whole.height(), 0.7});
  const auto reduce = [&](const Vec2& p) -> Vec2 { return room.centre() + factor * (p - whole.centre()); };
  Group map{.name = "map", .label = "the drawing, reduced", .items = {}, .clip = room};
  for (const Tile& tile : plan.tiles) draw_overlaps(map, tile, plan, reduce);
  draw_reduced(map, big, reduce);
  Group tiles{.name = "tiles", .label = "the tiles and their names", .items = {}, .clip = {}};
  for (const Tile& tile : plan.tiles) draw_tile(tiles, tile, reduce);
  page.groups = {std::move(words), std::move(map), std::move(tiles)};
  return page;
}

}  // namespace halfround::paper
