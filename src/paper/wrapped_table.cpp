#include "paper/wrapped_table.h"

#include <algorithm>

#include "paper/typeface.h"

namespace halfround::paper {
namespace {

constexpr double kCellAir = 1;    // mm between a column's edge and its text
constexpr double kLeading = 1.5;  // from line to line within a cell, in cap heights

std::vector<std::string> lines_of(const Cell& cell, const Column& column, double height, std::size_t most) {
  if (cell.text.empty()) return {};
  const double width = column.width - 2 * kCellAir;
  std::vector<std::string> out = wrapped(cell.text, height, width, cell.bold, cell.italic);
  if (out.size() > most) {
    out.resize(most);
    // the last line gives up words until the ellipsis fits
    std::string& last = out.back();
    while (text_width(last + " …", height, cell.bold, cell.italic) > width && last.find(' ') < last.size())
      last.resize(last.rfind(' '));
    last += " …";
  }
  return out;
}

double height_of(const std::vector<Cell>& row, const Table& what, std::size_t most) {
  std::size_t lines = 1;
  for (std::size_t c = 0; c < row.size() && c < what.columns.size(); ++c)
    lines = std::max(lines, lines_of(row[c], what.columns[c], what.height, most).size());
  return what.row + static_cast<double>(lines - 1) * kLeading * what.height;
}

void set_cell(Items& out, const Cell& cell, const Column& column, double left, double top, const Table& what,
              std::size_t most) {
  const double share = column.anchor == Anchor::left ? 0 : column.anchor == Anchor::centre ? 0.5 : 1;
  const double x = left + kCellAir + share * (column.width - 2 * kCellAir);
  double y = top - (what.row + what.height) / 2;
  for (const std::string& words : lines_of(cell, column, what.height, most)) {
    out.emplace_back(
        Text{.at = {x, y},
             .text = fitted(words, what.height, column.width - 2 * kCellAir, cell.bold, cell.italic),
             .height = what.height,
             .anchor = column.anchor,
             .ink = cell.ink,
             .bold = cell.bold,
             .italic = cell.italic});
    y -= kLeading * what.height;
  }
}

}  // namespace

std::vector<double> row_heights(const Table& what, std::size_t most) {
  std::vector<double> out;
  for (const auto& row : what.rows) out.push_back(height_of(row, what, most));
  return out;
}

Block wrapped_table(const Vec2& top_left, const Table& what, std::size_t most) {
  Block out;
  double y = top_left.y();
  const auto rule = [&](Ink ink) {
    out.items.emplace_back(
        line({top_left.x(), y}, {top_left.x() + width_of(what), y}, {Weight::thin, Dash::solid, ink}));
  };
  const auto set_row = [&](const std::vector<Cell>& row) {
    double x = top_left.x();
    for (std::size_t c = 0; c < row.size() && c < what.columns.size(); ++c) {
      set_cell(out.items, row[c], what.columns[c], x, y, what, most);
      x += what.columns[c].width;
    }
    y -= height_of(row, what, most);
  };
  std::vector<Cell> heads;
  for (const Column& column : what.columns) heads.push_back({.text = column.head});
  set_row(heads);
  rule(Ink::graphite);
  for (std::size_t r = 0; r < what.rows.size(); ++r) {
    if (r > 0 && what.rule_every > 0 && r % static_cast<std::size_t>(what.rule_every) == 0) rule(Ink::faint);
    set_row(what.rows[r]);
  }
  rule(Ink::graphite);
  out.bottom = y;
  return out;
}

}  // namespace halfround::paper
