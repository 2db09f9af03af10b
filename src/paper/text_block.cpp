#include "paper/text_block.h"

#include <algorithm>
#include <iterator>

#include "paper/pen.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

constexpr double kCellAir = 1;  // mm between a column's edge and its text

Path rule(double left, double right, double y, Ink ink = Ink::graphite) {
  return line({left, y}, {right, y}, {Weight::thin, Dash::solid, ink});
}

Text cell_text(const Cell& cell, const Column& column, double left, double baseline, double height) {
  Text out{.text = fitted(cell.text, height, column.width - 2 * kCellAir, cell.bold, cell.italic),
           .height = height,
           .anchor = column.anchor,
           .ink = cell.ink,
           .bold = cell.bold,
           .italic = cell.italic};
  const double share = column.anchor == Anchor::left ? 0 : column.anchor == Anchor::centre ? 0.5 : 1;
  out.at = {left + kCellAir + share * (column.width - 2 * kCellAir), baseline};
  return out;
}

}  // namespace

void add_to(Block& block, Block more) {
  std::move(more.items.begin(), more.items.end(), std::back_inserter(block.items));
  block.bottom = more.bottom;
}

Block paragraph(const Vec2& top_left, double width, const std::string& text, const TextStyle& style) {
  Block out;
  double y = top_left.y() - style.height;
  for (const std::string& row : wrapped(text, style.height, width, style.bold, style.italic)) {
    out.items.emplace_back(Text{.at = {top_left.x(), y},
                                .text = row,
                                .height = style.height,
                                .ink = style.ink,
                                .bold = style.bold,
                                .italic = style.italic});
    y -= style.leading * style.height;
  }
  out.bottom = y + (style.leading - 0.4) * style.height;
  return out;
}

Block marked_paragraph(const Vec2& top_left, double width, const std::string& mark, double indent,
                       const std::string& text, const TextStyle& style) {
  Block out = paragraph(top_left + Vec2(indent, 0), width - indent, text, style);
  out.items.emplace_back(Text{.at = top_left - Vec2(0, style.height),
                              .text = mark,
                              .height = style.height,
                              .ink = style.ink,
                              .bold = style.bold,
                              .italic = style.italic});
  return out;
}

double width_of(const Table& what) {
  double width = 0;
  for (const Column& column : what.columns) width += column.width;
  return width;
}

Block table(const Vec2& top_left, const Table& what) {
  Block out;
  const double right = top_left.x() + width_of(what);
  double y = top_left.y();
  const auto set_row = [&](const std::vector<Cell>& cells, double height) {
    double x = top_left.x();
    for (std::size_t c = 0; c < cells.size() && c < what.columns.size(); ++c) {
      const Column& column = what.columns[c];
      if (!cells[c].text.empty())
        out.items.emplace_back(cell_text(cells[c], column, x, y - (what.row + height) / 2, height));
      x += column.width;
    }
    y -= what.row;
  };
  std::vector<Cell> heads;
  for (const Column& column : what.columns) heads.push_back({.text = column.head});
  const bool headed = std::any_of(heads.begin(), heads.end(), [](const Cell& c) { return !c.text.empty(); });
  if (headed) set_row(heads, kLeastLetter);
  if (headed) out.items.emplace_back(rule(top_left.x(), right, y));
  for (std::size_t r = 0; r < what.rows.size(); ++r) {
    const bool last = r + 1 == what.rows.size();
    if (last && what.rule_last) out.items.emplace_back(rule(top_left.x(), right, y));
    set_row(what.rows[r], what.height);
    const bool ruled = what.rule_every > 0 && (r + 1) % static_cast<std::size_t>(what.rule_every) == 0;
    if (ruled && !last) out.items.emplace_back(rule(top_left.x(), right, y, Ink::faint));
  }
  out.items.emplace_back(rule(top_left.x(), right, y));
  out.bottom = y;
  return out;
}

Block heading(const Vec2& top_left, double width, const std::string& text) {
  constexpr double kHeight = 2.8;
  Block out;
  out.items.emplace_back(
      Text{.at = top_left - Vec2(0, kHeight), .text = text, .height = kHeight, .bold = true});
  out.bottom = top_left.y() - kHeight - 1.6;
  out.items.emplace_back(rule(top_left.x(), top_left.x() + width, out.bottom));
  out.bottom -= 0.4;
  return out;
}

}  // namespace halfround::paper
