// A fork for tests: invented numbers of a sensible size (559 wheel, ovalised bent blades, turned inserts).
#pragma once

#include "layout/lay_out.h"

namespace halfround::layout {

inline bike::Blade scene_blade() {
  using namespace base::literals;
  bike::Blade blade;
  blade.stations = {{0, 16, 16, 1.2, nullptr},
                    {90, 19, 20.5, 1.1, nullptr},
                    {220, 22, 27, 1, nullptr},
                    {330, 24, 30, 1, nullptr},
                    {470, 24, 30, 1, nullptr}};
  blade.runs = {{345, 0, 0}, {75.0 * 1.25, 1.25, bike::kInward}, {32, 0, 0}};
  blade.stock_length = 345 + 75 * 1.25 + 32;
  return blade;
}

inline Intent scene() {
  using namespace base::literals;
  Intent u;
  u.offset = 44;
  u.drop = 400;
  u.over_locknut = 100;
  u.tyre = bike::tyre_surface(*bike::tyre_from_designation("54-559", 25));
  u.steerer.stations = {
      {0, 28.6, 28.6, 2.3, nullptr}, {90, 28.6, 28.6, 2.3, nullptr}, {130, 28.6, 28.6, 1.6, nullptr}};
  u.steerer.length = 240;
  u.steerer.below_seat = 62;
  u.lower_end.kind = LowerEndKind::insert;
  u.lower_end.diameter = 24, u.lower_end.length = 20, u.lower_end.bore = 12, u.lower_end.blade_from_hub = 10;
  u.left = scene_blade();
  u.wishes = {Wished{Wish::clearance, 8}, Wished{Wish::crown_height, 34}};
  return u;
}

/// Straight round blades through two plates.
inline Intent plate_scene() {
  Intent u = scene();
  u.left.stations = {{0, 25.4, 25.4, 1.2, nullptr}};
  u.left.runs = {{440, 0, 0}};
  u.left.stock_length = 440;
  u.crown = PlateCrown{2, 8, 38, 36, 8, 8, 8, 2};
  u.wishes = {Wished{Wish::spacing, 108}, Wished{Wish::lower_trim, 0}};
  return u;
}

/// The same wheel with straight, slightly tapered blades under a segmented crown.
inline Intent segmented_scene() {
  using namespace base::literals;
  Intent u = scene();
  u.left.stations = {{0, 22, 22, 1.2, nullptr}, {420, 28, 28, 1, nullptr}};
  u.left.runs = {{440, 0, 0}};
  u.left.stock_length = 440;
  u.crown = SegmentedCrown{31.8, 1.6, 40, 80.0_deg, 24, 2};
  u.wishes = {Wished{Wish::clearance, 9}, Wished{Wish::lower_trim, 0}};
  return u;
}

/// Straight round blades in the sockets of a crown that was there.
inline Intent socket_scene() {
  using namespace base::literals;
  Intent u = scene();
  u.left.stations = {{0, 24, 24, 1.2, nullptr}};
  u.left.runs = {{440, 0, 0}};
  u.left.stock_length = 440;
  SocketCrown crown;
  crown.thickness = 34, crown.height = 36, crown.spacing = 100, crown.splay = 1.4_deg, crown.lean = 6.5_deg;
  crown.width = crown.depth = 24.2, crown.reach = 28, crown.edge = 3;
  u.crown = crown;
  u.wishes = {Wished{Wish::lower_trim, 0}, Wished{Wish::spacing, crown.spacing}};
  return u;
}

}  // namespace halfround::layout
