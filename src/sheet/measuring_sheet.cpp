#include "paper/bound_sheet.h"
#include "paper/wrapped_table.h"
#include "sheet/measuring_plan.h"
#include "sheet/plate_picture.h"
#include "sheet/shop_sheets.h"

namespace halfround::sheet {
namespace {

Block rows_of(const std::vector<PlateMeasure>& plan, Held held, const Vec2& top_left, double width) {
  Table t;
  t.height = 3, t.row = 6, t.rule_every = 1;
  t.columns = {{"", 15, Anchor::left},
               {"measure", width - 99, Anchor::left},
               {"expected", 28},
               {"within", 26},
               {"read", 30}};
  for (const PlateMeasure& m : plan) {
    if (m.held != held) continue;
    // a long formula stands with the words
    const bool formula = m.mark.size() > 8;
    t.rows.push_back({{formula ? "" : m.mark, true},
                      {formula ? m.mark + ": " + m.what : m.what},
                      {words(m), true},
                      {m.limit},
                      {}});
  }
  return wrapped_table(top_left, t);
}

}  // namespace

Sheet measuring_sheet(const job::Job& job, const solve::Answer& answer, Paper paper,
                      const TitleBlock& title) {
  BoundSheet sheet(paper, "measuring-plan", "measuring plan");
  sheet.turn();
  const Box& box = sheet.box();
  const drawing::Drawing d = drawing::drawing_of(job, answer);
  const std::vector<PlateMeasure> plan = measuring_plan(job, answer);
  const double high = 70, middle = box.min.x() + 0.42 * box.width(), top = box.max.y() - 6;
  const Box standing{{box.min.x(), top - high}, {middle - 3, top}};
  const Box lying{{middle + 3, top - 0.5 * high + 6}, {box.max.x(), top}};
  const Box side{{middle + 3, top - high}, {box.max.x(), top - 0.5 * high - 1}};
  const auto name = [](const Box& b, const char* text) {
    return Text{.at = {b.min.x(), b.max.y() + 1}, .text = text, .height = 3, .bold = true};
  };
  Group words{.name = "names", .label = "how the fork stands", .items = {}, .clip = {}};
  words.items.emplace_back(name(standing, "standing: steerer upright"));
  words.items.emplace_back(name(lying, "lying: offset up"));
  words.items.emplace_back(name(side, "on its side: left end up"));
  sheet.put(std::move(words));
  sheet.put(plate_picture(d, Held::standing, standing));
  sheet.put(plate_picture(d, Held::lying, lying));
  sheet.put(plate_picture(d, Held::on_its_side, side));
  double y = top - high - 4;
  const std::pair<Held, const char*> ways[] = {
      {Held::standing, "standing"}, {Held::lying, "lying"}, {Held::on_its_side, "on its side"}};
  for (const auto& [held, label] : ways) {
    Block rows = rows_of(plan, held, {box.min.x(), y}, box.width());
    if (rows.bottom < box.min.y()) {
      sheet.turn();
      rows = rows_of(plan, held, {box.min.x(), box.max.y()}, box.width());
    }
    y = rows.bottom - 2.5;
    sheet.put("measures", label, std::move(rows));
  }
  return std::move(sheet).finished(title);
}

}  // namespace halfround::sheet
