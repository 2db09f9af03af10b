// An invented drawing that uses everything the display list can say, and programs from outside to look at it.
#pragma once

#include <cstdio>
#include <fstream>
#include <sstream>
#include <string>

#include "paper/draughting.h"
#include "paper/page_furniture.h"

namespace halfround::paper {

/// A fork-like front view on one large page, 420 x 640 mm.
inline Page big_scene() {
  Page page{.width = 420, .height = 640, .name = "fork drawing", .groups = {}};
  const Vec2 axle(150, 90), seat(150, 490);
  Group centre{.name = "centre", .label = "centre lines", .items = {}, .clip = {}};
  centre.items.emplace_back(line({150, 60}, {150, 620}, {Weight::thin, Dash::chain, Ink::graphite}));
  centre.items.emplace_back(line({70, 90}, {230, 90}, {Weight::thin, Dash::chain, Ink::graphite}));
  Group outline{.name = "outline", .label = "blades and steerer, front view", .items = {}, .clip = {}};
  outline.items.emplace_back(
      Area{.rings = {{{135.7, 490}, {164.3, 490}, {164.3, 612}, {135.7, 612}}}, .fill = Area::Fill::tone});
  outline.items.emplace_back(rectangle({{135.7, 490}, {164.3, 612}}, {.weight = Weight::thick}));
  for (const double side : {-1.0, 1.0}) {
    const auto x = [&](double v) { return 150 + side * v; };
    outline.items.emplace_back(Path{
        .points = {{x(41), 100}, {x(53), 450}, {x(14.3), 520}, {x(14.3), 470}, {x(36), 420}, {x(29), 100}},
        .closed = true,
        .stroke = {.weight = Weight::thick}});
    outline.items.emplace_back(Area{.rings = {circle({x(50), 90}, 9).points, circle({x(50), 90}, 6).points},
                                    .angle = side > 0 ? base::kPi / 4 : 3 * base::kPi / 4});
    outline.items.emplace_back(circle({x(50), 90}, 9, {.weight = Weight::thick}));
    outline.items.emplace_back(circle({x(50), 90}, 6, {.weight = Weight::medium}));
    add(outline, centre_mark({x(50), 90}, 9));
  }
  outline.items.emplace_back(circle({150, 400}, 27, {Weight::medium, Dash::double_chain, Ink::graphite}));
  Group dimensions{.name = "dimensions", .label = "dimensions", .items = {}, .clip = {}};
  add(dimensions, dimension_linear(seat + Vec2(14.3, 0), axle + Vec2(14.3, 0), 110, "(400.0)"));
  add(dimensions, dimension_linear({100, 90}, {200, 90}, -32, "100.0"));
  add(dimensions, dimension_linear({135.7, 612}, {164.3, 612}, 8, "28.6"));
  add(dimensions, dimension_linear({191, 100}, {194, 100}, -14, "3.0", {.italic = true}));
  add(dimensions, dimension_linear({135.7, 612}, {135.7, 490}, -16, "122.0"));
  add(dimensions, dimension_linear({203, 450}, {164.3, 520}, -12, "80.0"));
  add(dimensions, dimension_angle({150, 560}, base::to_rad(-90), base::to_rad(-60), 60, "30.0°"));
  add(dimensions, dimension_angle({150, 560}, base::to_rad(80), base::to_rad(84), 45, "4.0°"));
  add(dimensions, dimension_radius({150, 400}, 27, base::to_rad(200), "R27.0", 12));
  add(dimensions, leader({103, 300}, {70, 330}, "oval blade, mark line inward"));
  add(dimensions, leader({171, 520}, {205, 545}, "cut here", {.ink = Ink::hand}));
  Group far{.name = "outline", .label = "a plate far to the right, below", .items = {}, .clip = {}};
  far.items.emplace_back(rectangle({{330, 80}, {390, 130}}, {.weight = Weight::thick}));
  page.groups = {std::move(outline), std::move(centre), std::move(dimensions), std::move(far)};
  return page;
}

inline TitleBlock scene_title() {
  return {.job = "island mail round, fork 3",
          .sheet = "fork drawing, front view",
          .revision = "5e2c91aa",
          .note = "printer corrected x 1.002, y 0.998"};
}

/// A furnished A4 page with a drawing on it.
inline Page small_scene() {
  Page page{.width = 210, .height = 297, .name = "one plate", .groups = {}};
  Group outline{.name = "outline", .label = "plate", .items = {}, .clip = {}};
  outline.items.emplace_back(rectangle({{50, 120}, {120, 170}}, {.weight = Weight::thick}));
  outline.items.emplace_back(circle({85, 145}, 14.3, {.weight = Weight::medium}));
  outline.items.emplace_back(
      Area{.rings = {{{50, 120}, {120, 120}, {120, 170}, {50, 170}}, circle({85, 145}, 14.3).points}});
  Group dimensions{.name = "dimensions", .label = "dimensions", .items = {}, .clip = {}};
  add(dimensions, dimension_linear({50, 120}, {120, 120}, -10, "70.0"));
  add(dimensions, dimension_linear({120, 120}, {120, 170}, -10, "50.0"));
  add(dimensions, leader({85 + 14.3 * std::cos(2.0), 145 + 14.3 * std::sin(2.0)}, {60, 190}, "ø28.6"));
  page.groups = {std::move(outline), std::move(dimensions)};
  furnish(page, scene_title());
  return page;
}

inline void write_file(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

/// What a program says on its output; its exit code in `code`.
inline std::string said_by(const std::string& command, int* code = nullptr) {
  std::string out;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (!pipe) return out;
  char buffer[4096];
  while (const std::size_t got = fread(buffer, 1, sizeof buffer, pipe)) out.append(buffer, got);
  const int status = pclose(pipe);
  if (code) *code = status;
  return out;
}

}  // namespace halfround::paper
