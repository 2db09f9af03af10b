#include "paper/tile.h"

#include <algorithm>
#include <cmath>

#include "paper/clip.h"
#include "paper/draughting.h"
#include "paper/pen.h"
#include "paper/tile_map.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

constexpr double kLiveWidth = 190, kLiveHeight = 255;  // fits A4 and Letter
constexpr double kEdge = 2;  // ink within the tile's edge: half a thick line and a little air

// the live area of one tile on its paper, mm; whole millimetres, in the middle of the content box
Box live_area(Paper paper) {
  const Vec2 size = size_of(paper);
  const Box box = content_box(size.x(), size.y());
  const Vec2 live(std::min(kLiveWidth, std::floor(box.width())),
                  std::min(kLiveHeight, std::floor(box.height())));
  return {box.centre() - 0.5 * live, box.centre() + 0.5 * live};
}

std::string row_letters(int row) {
  std::string out(1, static_cast<char>('A' + row % 26));
  return row < 26 ? out : row_letters(row / 26 - 1) + out;
}

std::vector<Item> inside(const Group& group, const Box& area) {
  Box box = area;
  if (group.clip) {
    box.min = box.min.cwiseMax(group.clip->min);
    box.max = box.max.cwiseMin(group.clip->max);
    if ((box.min.array() >= box.max.array()).any()) return {};
  }
  std::vector<Item> out;
  for (const Item& item : group.items)
    for (Item& part : clipped(item, box)) out.push_back(std::move(part));
  return out;
}

const Tile* at(const TilePlan& plan, int row, int column) {
  if (row < 0 || column < 0 || row >= plan.rows || column >= plan.columns) return nullptr;
  return &plan.tiles[static_cast<std::size_t>(row * plan.columns + column)];
}

// does the mark's plate lie on a text of the drawing?
bool on_a_text(const Item& mark, const std::vector<Group>& drawn) {
  const Box box = *bounds_of({mark});
  for (const Group& group : drawn) {
    for (const Item& item : group.items) {
      if (!std::holds_alternative<Text>(item)) continue;
      const Box other = *bounds_of({item});
      if ((box.min.array() < other.max.array()).all() && (other.min.array() < box.max.array()).all())
        return true;
    }
  }
  return false;
}

// a cross in the middle of the overlap with each neighbour; both tiles show it at the same place of the
// drawing
void draw_joins(Group& marks, const TilePlan& plan, const Tile& tile, const Vec2& move,
                const std::vector<Group>& drawn) {
  const Box& area = tile.area;
  const Stroke thin{Weight::thin, Dash::solid, Ink::hand};
  const auto join = [&](int row, int column, const Vec2& middle, const Vec2& along, double length) {
    const Tile* other = at(plan, row, column);
    if (!other || other->blank) return;
    for (const double share : {-0.36, 0.36}) {
      const Vec2 p = middle + share * length * along + move;
      marks.items.emplace_back(line(p - Vec2(4, 0), p + Vec2(4, 0), thin));
      marks.items.emplace_back(line(p - Vec2(0, 4), p + Vec2(0, 4), thin));
      marks.items.emplace_back(circle(p, 2, thin));
    }
    const double turn = along.y() != 0 ? base::kPi / 2 : 0;
    const Vec2 down = along.y() != 0 ? Vec2(0.9, 0) : Vec2(0, -0.9);
    // the neighbour's name, where it covers nothing
    for (const double share : {0.25, -0.25, 0.15, -0.15, 0.05, -0.05}) {
      const Text name{.at = middle + share * length * along + move + down,
                      .text = other->name,
                      .height = kLeastLetter,
                      .turn = turn,
                      .anchor = Anchor::centre,
                      .ink = Ink::hand,
                      .backed = true};
      if (on_a_text(name, drawn) && share != -0.05) continue;
      marks.items.emplace_back(name);
      break;
    }
  };
  const Vec2 middle = area.centre();
  const double half = kOverlap / 2, w = area.width(), h = area.height();
  join(tile.row, tile.column - 1, {area.min.x() + half, middle.y()}, {0, 1}, h);
  join(tile.row, tile.column + 1, {area.max.x() - half, middle.y()}, {0, 1}, h);
  join(tile.row - 1, tile.column, {middle.x(), area.max.y() - half}, {1, 0}, w);
  join(tile.row + 1, tile.column, {middle.x(), area.min.y() + half}, {1, 0}, w);
}

Page tile_page(const Page& big, Paper paper, const TilePlan& plan, const Tile& tile) {
  const Vec2 size = size_of(paper);
  const Box live = live_area(paper);
  const Vec2 move = live.min - tile.area.min;
  Page page{.width = size.x(), .height = size.y(), .name = big.name + ", tile " + tile.name, .groups = {}};
  for (const Group& group : big.groups) {
    if (is_furniture(group)) continue;
    Group part{.name = group.name, .label = group.label, .items = inside(group, tile.area), .clip = live};
    if (part.items.empty()) continue;
    for (Item& item : part.items) shift(item, move);
    if (group.clip) {
      part.clip->min = live.min.cwiseMax(group.clip->min + move);
      part.clip->max = live.max.cwiseMin(group.clip->max + move);
    }
    page.groups.push_back(std::move(part));
  }
  Group marks{.name = "tiles",
              .label = "edge of tile " + tile.name + " and registration crosses",
              .items = {},
              .clip = {}};
  marks.items.emplace_back(rectangle(live, {Weight::thin, Dash::solid, Ink::faint}));
  draw_joins(marks, plan, tile, move, page.groups);
  marks.items.emplace_back(Text{.at = {live.max.x() - 3, live.max.y() - 9},
                                .text = tile.name,
                                .height = 5,
                                .anchor = Anchor::right,
                                .ink = Ink::hand,
                                .bold = true,
                                .backed = true});
  page.groups.push_back(std::move(marks));
  return page;
}

}  // namespace

Vec2 size_of(Paper paper) {
  return paper == Paper::a4 ? Vec2(210, 297) : Vec2(215.9, 279.4);
}

TilePlan plan_tiles(const Page& big, Paper paper) {
  std::vector<Item> all;
  for (const Group& group : big.groups)
    if (!is_furniture(group)) all.insert(all.end(), group.items.begin(), group.items.end());
  const Box ink = bounds_of(all).value_or(Box{{0, 0}, {big.width, big.height}});
  const Box live = live_area(paper);
  const Vec2 tile(live.width(), live.height());

  // n tiles cover n (size - overlap) + overlap
  const auto count = [](double length, double size) {
    return std::max(1,
                    static_cast<int>(std::ceil((length + 2 * kEdge - kOverlap) / (size - kOverlap) - 1e-9)));
  };
  TilePlan plan{.rows = count(ink.height(), tile.y()), .columns = count(ink.width(), tile.x()), .tiles = {}};
  const Vec2 step = tile - Vec2(kOverlap, kOverlap);
  const Vec2 whole(plan.columns * step.x() + kOverlap, plan.rows * step.y() + kOverlap);
  const Vec2 corner = ink.centre() - 0.5 * whole;
  for (int row = 0; row < plan.rows; ++row) {
    for (int column = 0; column < plan.columns; ++column) {
      const Vec2 low = corner + Vec2(column * step.x(), (plan.rows - 1 - row) * step.y());
      Tile next{.name = row_letters(row) + std::to_string(column + 1),
                .row = row,
                .column = column,
                .area = {low, low + tile}};
      next.blank = std::all_of(big.groups.begin(), big.groups.end(), [&](const Group& group) {
        return is_furniture(group) || inside(group, next.area).empty();
      });
      plan.tiles.push_back(std::move(next));
    }
  }
  return plan;
}

Sheet tile(const Page& big, Paper paper, const TitleBlock& title) {
  const TilePlan plan = plan_tiles(big, paper);
  const Vec2 size = size_of(paper);
  Sheet sheet{.stem = paper == Paper::a4 ? "tiles-a4" : "tiles-letter", .title = title.sheet, .pages = {}};
  const int printed = static_cast<int>(
      std::count_if(plan.tiles.begin(), plan.tiles.end(), [](const Tile& t) { return !t.blank; }));
  TitleBlock each = title;
  each.of = printed + 1;
  each.number = 1;
  each.sheet = title.sheet + ", map of the tiles";
  each.scale = "none (map)";
  sheet.pages.push_back(map_page(big, plan, size));
  furnish(sheet.pages.back(), each);
  each.scale = title.scale;
  for (const Tile& one : plan.tiles) {
    if (one.blank) continue;
    sheet.pages.push_back(tile_page(big, paper, plan, one));
    ++each.number;
    each.sheet = title.sheet + ", tile " + one.name;
    furnish(sheet.pages.back(), each);
  }
  return sheet;
}

}  // namespace halfround::paper
