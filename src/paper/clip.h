// Items cut by an upright rectangle: lines exactly, areas as polygons, text kept whole where its plate
// reaches in.
#pragma once

#include <optional>
#include <vector>

#include "paper/display.h"

namespace halfround::paper {

/// The parts of a stroked path inside the box, in order; dash patterns go on as in the uncut path. A path
/// that lies wholly inside comes back unchanged (closed paths stay closed).
///   source  Liang and Barsky's parametric line clipping [from memory]
[[nodiscard]] std::vector<Path> clipped(const Path& path, const Box& box);

/// A ring cut to the box; empty if nothing is left. Where it falls in two, both parts hang together along an
/// edge of the box, which fills the same area.
///   source  Sutherland and Hodgman's polygon clipping [from memory]
[[nodiscard]] std::vector<Vec2> clipped_ring(const std::vector<Vec2>& ring, const Box& box);

/// All parts of an item inside the box. Hatching becomes lines, so that it runs on from tile to tile.
[[nodiscard]] std::vector<Item> clipped(const Item& item, const Box& box);

/// The smallest box round all items (text by its plate); nothing for no items.
[[nodiscard]] std::optional<Box> bounds_of(const std::vector<Item>& items);

/// Moves an item.
void shift(Item& item, const Vec2& by);

}  // namespace halfround::paper
