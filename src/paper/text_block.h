// Paragraphs and tables set down a column of paper. Frame P; a block starts at its upper left corner and says
// how far down it came, so that the next one starts there.
#pragma once

#include <string>
#include <vector>

#include "paper/draughting.h"

namespace halfround::paper {

struct TextStyle {
  double height = 2.5;   ///< cap height, mm
  double leading = 1.8;  ///< from baseline to baseline, in cap heights
  Ink ink = Ink::graphite;
  bool bold = false;
  bool italic = false;
};

/// What was set, and the y of its lower edge.
struct Block {
  Items items;
  double bottom = 0;
};

/// Puts the items of `more` to those of `block` and takes over its lower edge.
void add_to(Block& block, Block more);

/// A paragraph broken to `width`; the capitals of its first line touch `top_left`.
[[nodiscard]] Block paragraph(const Vec2& top_left, double width, const std::string& text,
                              const TextStyle& style = {});

/// The same behind a mark ("–", "1"), which stands in a margin of `indent` mm.
[[nodiscard]] Block marked_paragraph(const Vec2& top_left, double width, const std::string& mark,
                                     double indent, const std::string& text, const TextStyle& style = {});

struct Column {
  std::string head;
  double width = 20;              ///< mm
  Anchor anchor = Anchor::right;  ///< figures stand right, words left
};
struct Cell {
  std::string text;
  bool bold = false;
  bool italic = false;
  Ink ink = Ink::graphite;
};
struct Table {
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;  ///< each with at most as many cells as there are columns
  double row = 4.4;                     ///< height of a row, mm
  double height = 2.5;                  ///< of the letters, mm
  int rule_every = 0;                   ///< a thin line under every n-th row; 0: none
  bool rule_last = false;               ///< a line above the last row, as over a sum
};

/// Head (left out where every column's is empty), line, rows, line. A text longer than its column is cut with
/// an ellipsis.
[[nodiscard]] Block table(const Vec2& top_left, const Table& what);
[[nodiscard]] double width_of(const Table& what);

/// A small bold heading with a thin line under it over the whole width.
[[nodiscard]] Block heading(const Vec2& top_left, double width, const std::string& text);

}  // namespace halfround::paper
