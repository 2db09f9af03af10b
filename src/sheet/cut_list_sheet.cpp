#include <fmt/format.h>

#include "base/number.h"
#include "paper/bound_sheet.h"
#include "paper/wrapped_table.h"
#include "sheet/shop_sheets.h"
#include "study/stock_use.h"

namespace halfround::sheet {
namespace {

using base::format_number;

std::string size_words(shop::StockKind kind, double diameter, double wall) {
  const std::string d = format_number(diameter, 1), w = format_number(wall, 1);
  if (kind == shop::StockKind::plate) return fmt::format("plate {} × {}", d, w);
  if (kind == shop::StockKind::bar) return fmt::format("bar ø{} or thicker", d);
  return wall > 0 ? fmt::format("tube ø{} × {}", d, w) : fmt::format("tube ø{}", d);
}

std::string length_name(const solve::ShopPlan& plan, std::size_t stock, int nth) {
  const std::string& name = plan.stock.at(stock).name;
  return plan.stock[stock].count > 1 ? fmt::format("{}, no. {}", name, nth + 1) : name;
}

Table plain(std::vector<Column> columns) {
  Table t;
  t.columns = std::move(columns), t.height = 3, t.row = 6.6, t.rule_every = 1;
  return t;
}

void put_table(BoundSheet& sheet, const std::string& title, const Table& table) {
  if (table.rows.empty()) return;
  double high = 14;
  for (const double h : row_heights(table)) high += h;
  sheet.need(std::min(high, 150.0));
  sheet.put("headings", title, heading({sheet.box().min.x(), sheet.y()}, sheet.box().width(), title));
  // rows go on over the page's end
  Table part = table;
  const std::vector<double> heights = row_heights(table);
  std::size_t next = 0;
  while (next < table.rows.size()) {
    part.rows.clear();
    double room = sheet.y() - sheet.box().min.y() - table.row - 2;
    while (next < table.rows.size() && (part.rows.empty() || heights[next] <= room)) {
      room -= heights[next];
      part.rows.push_back(table.rows[next++]);
    }
    sheet.put("table", title, wrapped_table({sheet.box().min.x(), sheet.y() - 1}, part));
    if (next < table.rows.size()) sheet.turn();
  }
  sheet.skip(5);
}

Table pieces_table(const solve::ShopPlan& plan) {
  Table t = plain({{"", 8, Anchor::left},
                   {"piece", 44, Anchor::left},
                   {"of", 43, Anchor::left},
                   {"saw off", 20},
                   {"finished", 20},
                   {"", 3},
                   {"from", 36, Anchor::left},
                   {"at", 18}});
  for (const shop::Served& s : plan.cutting.pieces) {
    t.rows.push_back({{"□"},
                      {s.piece.what, true},
                      {size_words(s.piece.kind, s.piece.diameter, s.piece.wall)},
                      {format_number(s.piece.length, 1), true},
                      {format_number(s.piece.finished, 2)},
                      {},
                      {s.stock ? length_name(plan, *s.stock, s.nth) : "buy"},
                      {s.stock ? format_number(s.from, 1) : "–"}});
  }
  return t;
}

Table blades_table(const solve::Answer& a) {
  Table t = plain({{"", 8, Anchor::left},
                   {"blade", 50, Anchor::left},
                   {"stock", 30},
                   {"= off the tip", 36},
                   {"+ used", 28},
                   {"+ off the crown end", 36}});
  for (const bike::Member& m : a.fork.assembly.members) {
    if (m.part.kind != bike::PartKind::blade) continue;
    const study::StockUse use = study::rounded(study::stock_use(m, a.mitres), 0.1);
    t.rows.push_back({{"□"},
                      {bike::spoken(m.part), true},
                      {format_number(use.stock, 1)},
                      {format_number(use.off_start, 1)},
                      {format_number(use.used, 1), true},
                      {format_number(use.off_end, 1)}});
  }
  return t;
}

Table off_cuts_table(const solve::ShopPlan& plan) {
  Table t = plain({{"length", 110, Anchor::left}, {"left over", 30}});
  for (const shop::OffCut& o : plan.cutting.off_cuts)
    t.rows.push_back({{length_name(plan, o.stock, o.nth)}, {format_number(o.length, 1), true}});
  return t;
}

Table buy_table(const solve::ShopPlan& plan) {
  Table t = plain({{"", 8, Anchor::left},
                   {"what", 60, Anchor::left},
                   {"length", 26},
                   {"", 3},
                   {"for", 95, Anchor::left}});
  for (const shop::Buy& b : plan.cutting.buy) {
    std::string pieces;
    for (const std::string& p : b.pieces) pieces += (pieces.empty() ? "" : ", ") + p;
    t.rows.push_back({{"□"},
                      {size_words(b.kind, b.diameter, b.wall), true},
                      {format_number(b.length, 1), true},
                      {},
                      {pieces}});
  }
  return t;
}

Table filler_table(const study::JoiningPlan& j) {
  Table t = plain({{"", 8, Anchor::left},
                   {"filler", 40, Anchor::left},
                   {"in the joints", 32},
                   {"", 3},
                   {"rod, any one of these, waste in it", 109, Anchor::left}});
  for (const study::Shopping& s : j.shopping) {
    std::string rods;
    for (const study::Rod& r : s.rods)
      rods += fmt::format("{}{} mm of ø{}", rods.empty() ? "" : "; ", format_number(r.length, 0),
                          format_number(r.diameter, 2));
    t.rows.push_back({{"□"}, {s.filler, true}, {format_number(1000 * s.mass, 1) + " g"}, {}, {rods}});
  }
  return t;
}

}  // namespace

Sheet cut_list_sheet(const solve::Answer& answer, const solve::ShopPlan& plan, Paper paper,
                     const TitleBlock& title) {
  BoundSheet sheet(paper, "cut-list", "cut and shopping list");
  put_table(sheet, "To saw off, mm (kerf and facing are in it)", pieces_table(plan));
  put_table(sheet, "Blades, along their middle line to the farthest point of each cut, mm",
            blades_table(answer));
  put_table(sheet, "Back on the rack, mm", off_cuts_table(plan));
  put_table(sheet, "To buy, mm", buy_table(plan));
  const auto& refused = answer.joining.refused;
  put_table(sheet,
            refused ? "Filler: none planned. " + refused->what
                    : fmt::format("Filler (waste {} % of what is laid)",
                                  format_number(100 * answer.joining.waste, 0)),
            filler_table(answer.joining));
  return std::move(sheet).finished(title);
}

}  // namespace halfround::sheet
