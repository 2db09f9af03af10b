// The first page of a tiled document: which tile goes where.
#pragma once

#include "paper/display.h"

namespace halfround::paper {

struct TilePlan;

/// A page of the given size with the drawing reduced, the tiles over it, and how to join them. Not furnished.
[[nodiscard]] Page map_page(const Page& big, const TilePlan& plan, const Vec2& size);

}  // namespace halfround::paper
