// A large page cut into tiles for a desktop printer, glued together again by registration crosses.
// Tiles are named like squares of a map: A1 is the upper left one, letters go down, numbers go right.
#pragma once

#include <string>
#include <vector>

#include "paper/display.h"
#include "paper/page_furniture.h"

namespace halfround::paper {

enum class Paper { a4, letter };

/// Width and height of the paper standing upright, mm.
[[nodiscard]] Vec2 size_of(Paper paper);

inline constexpr double kOverlap = 10;  ///< of neighbouring tiles, mm: room for a cross and for tape

/// One tile of a plan.
struct Tile {
  std::string name;    ///< "B2"
  int row = 0;         ///< from the top, 0 first
  int column = 0;      ///< from the left, 0 first
  Box area;            ///< what it shows, mm on the big page
  bool blank = false;  ///< nothing is drawn there: not printed
};

/// How a big page is cut: all tiles of one size, neighbours sharing kOverlap, the drawing in the middle of
/// them.
struct TilePlan {
  int rows = 0;
  int columns = 0;
  std::vector<Tile> tiles;  ///< row by row
};
[[nodiscard]] TilePlan plan_tiles(const Page& big, Paper paper);

/// The tiles as a document: first a map (not to scale), then every tile that isn't blank, each furnished,
/// live area at most 190 x 255 mm. Furniture of the big page is left out.
///   in   title  `sheet` is completed with the tile's name; numbers are set here
[[nodiscard]] Sheet tile(const Page& big, Paper paper, const TitleBlock& title);

}  // namespace halfround::paper
