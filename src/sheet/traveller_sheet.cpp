#include <fmt/format.h>

#include <cctype>

#include "paper/bound_sheet.h"
#include "paper/typeface.h"
#include "sheet/check_tables.h"
#include "sheet/shop_sheets.h"
#include "sheet/work_order.h"

namespace halfround::sheet {
namespace {

constexpr double kHeight = 2.8, kNumber = 14, kLine = 6.2, kRead = 30;

/// One step: box, number, words; a line for each blank.
Block step_block(const WorkStep& s, const Vec2& at, double width) {
  Block out = marked_paragraph(at + Vec2(6, -0.8), width - 6, std::to_string(s.number), kNumber - 6, s.what,
                               {.height = kHeight, .leading = 1.45});
  out.items.emplace_back(tick_box(at));
  if (s.done) {
    out.items.emplace_back(line(at + Vec2(0.8, -2.2), at + Vec2(1.7, -3.2), {Weight::medium}));
    out.items.emplace_back(line(at + Vec2(1.7, -3.2), at + Vec2(3.4, -0.7), {Weight::medium}));
  }
  out.bottom = std::min(out.bottom, at.y() - 4.2);
  const double right = at.x() + width, x = at.x() + kNumber;
  const double expected = right - kRead - 24;
  for (const Blank& b : s.blanks) {
    const std::vector<std::string> lines = wrapped(b.what, kHeight, expected - 22 - x);
    double y = out.bottom - 0.72 * kLine;
    for (const std::string& words : lines) {
      out.items.emplace_back(Text{.at = {x, y}, .text = words, .height = kHeight});
      if (&words != &lines.back()) y -= 1.5 * kHeight;
    }
    out.items.emplace_back(Text{
        .at = {expected, y}, .text = b.expected, .height = kHeight, .anchor = Anchor::right, .bold = true});
    if (!b.limit.empty())
      out.items.emplace_back(Text{.at = {expected + 2, y}, .text = b.limit, .height = 2.5});
    out.items.emplace_back(line({right - kRead + 2, y - 0.8}, {right, y - 0.8}, {Weight::thin}));
    out.bottom = y - 0.28 * kLine;
  }
  out.bottom -= 1.4;
  return out;
}

std::string headline(Stage stage) {
  std::string out = name_of(stage);
  out[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(out[0])));
  return out;
}

}  // namespace

Sheet traveller_sheet(const job::Job& job, const solve::Answer& answer, const solve::ShopPlan& plan,
                      Paper paper, const TitleBlock& title) {
  BoundSheet sheet(paper, "traveller", "order of work");
  const Box& box = sheet.box();
  const WorkStep* before = nullptr;
  const std::vector<WorkStep> order = order_of_work(job, answer, plan);
  for (const WorkStep& s : order) {
    const bool opens = !before || before->stage != s.stage;
    const double high = -step_block(s, {0, 0}, box.width()).bottom;
    sheet.need(high + (opens ? 8 : 0));
    if (opens) {
      sheet.skip(before ? 1.5 : 0);
      sheet.put("headings", name_of(s.stage),
                heading({box.min.x(), sheet.y()}, box.width(), headline(s.stage)));
      sheet.skip(1.6);
    }
    sheet.put("step", fmt::format("step {}", s.number), step_block(s, {box.min.x(), sheet.y()}, box.width()));
    before = &s;
  }
  return std::move(sheet).finished(title);
}

}  // namespace halfround::sheet
