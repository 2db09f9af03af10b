#include "sheet/template_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "drawing/template_drawing.h"
#include "paper/clip.h"
#include "paper/pen.h"
#include "paper/text_block.h"
#include "paper/typeface.h"
#include "shop/set_up.h"
#include "solve/notes.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::to_deg;
using study::Mitre;

constexpr double kHeadHeight = 26;  // mm, title lines of a page and the warning under them
constexpr double kTableWidth = 61;  // mm, one half of the depth table
constexpr double kColumnGap = 5;    // mm
constexpr double kLowerGap = 4;     // mm, between the template and what stands under it

/// One decimal where that is exact, else two.
std::string mm(double v) {
  return format_number(v, std::abs(v * 10 - std::round(v * 10)) < 1e-6 ? 1 : 2);
}

std::string clock(double u) {
  return base::format_clock(u);
}

std::string capitals(std::string text) {
  for (char& c : text)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  return text;
}

bool is_blade(const Mitre& m) {
  return m.member.kind == bike::PartKind::blade;
}
std::string end_name(const Mitre& m) {
  return std::string(bike::end_name(m.member, m.end)) + " end";
}

void put(Group& group, double& y, Block block, double gap = 0) {
  add(group, std::move(block.items));
  y = block.bottom - gap;
}

/// Half of the depth table, rows from first to last.
Table depth_table(const Mitre& m, std::size_t first, std::size_t last) {
  Table out{.columns = {{"clock", 10, Anchor::right},
                        {"outer", 13, Anchor::right},
                        {"inner", 13, Anchor::right},
                        {"bevel", 13, Anchor::right},
                        {"", 12, Anchor::left}},
            .rows = {},
            .rule_every = 3};
  for (std::size_t i = first; i < last && i < m.clock.size(); ++i) {
    const study::ClockDepth& c = m.clock[i];
    const Ink ink = c.met ? Ink::graphite : Ink::hand;
    out.rows.push_back({{.text = clock(c.u), .bold = true},
                        {.text = format_number(c.outer, 2), .ink = ink},
                        {.text = std::isnan(c.inner) ? "–" : format_number(c.inner, 2), .ink = ink},
                        {.text = format_number(to_deg(c.bevel), 1) + "°", .ink = ink},
                        {.text = c.met ? "" : "past", .ink = ink}});
  }
  return out;
}

Table facts(const Mitre& m) {
  Table out{.columns = {{"", 34, Anchor::left}, {"", 24, Anchor::right}}, .rows = {}, .row = 4.2};
  const auto row = [&](const std::string& what, const std::string& value) {
    out.rows.push_back({{.text = what}, {.text = value}});
  };
  row("joint length", format_number(m.joint_length, 1) + " mm");
  row("lowest, at " + clock(m.u_lowest), format_number(m.lowest, 2) + " mm");
  row("highest, at " + clock(m.u_highest), format_number(m.highest, 2) + " mm");
  if (m.passed_by > 0) row("passes beside over", format_number(to_deg(m.passed_by), 0) + "°");
  const auto from = [&](const std::string& end, const shape::Tape& t) {
    row("scribe, " + end, mm(t.centre) + " mm");
    if (!t.bent) return;
    row("  outside, at " + clock(t.clock_outside), format_number(t.outside, 1) + " mm");
    row("  inside the bend", format_number(t.inside, 1) + " mm");
  };
  from(end_name(m), m.scribe_from_end);
  const bike::End far = m.end == bike::End::end ? bike::End::start : bike::End::end;
  from(std::string(bike::end_name(m.member, far)) + " end", m.scribe_from_other);
  const shape::Unrolled& t = m.template_;
  row("scribe line on paper", format_number((t.ring.back() - t.ring.front()).norm(), 2) + " mm");
  return out;
}

/// How the template is used, in the order of the hand.
std::vector<std::string> steps(const Mitre& m) {
  const std::string side = is_blade(m) ? "the outside of the blade" : "the tube";
  std::vector<std::string> out{
      fmt::format("Scribe round the stock {} mm along its middle from its {}; draw the mark line along {}.",
                  mm(m.scribe_from_end.centre), end_name(m), side),
      "Cut the paper out, wrap it printed side out, lower edge on the scribe line, mark on mark.",
      "Mark along the upper edge, cut outside the line, file to it.",
      "Check the depths by calliper from the scribe line."};
  if (!m.meets.empty())
    out.insert(out.begin() + 3,
               "Where it passes beside, it meets the " + bike::spoken(m.meets) + " in the middle.");
  return out;
}

std::string paper_note(const job::Job& job) {
  const double x = job.printer.bar_x.value, y = job.printer.bar_y.value;
  std::string out = fmt::format("Paper of {} mm is allowed for. ", mm(job.printer.paper_thickness.value));
  if (x == 100 && y == 100) return out + "The printer is taken as true: measure the bar.";
  return out +
         fmt::format("Corrected for a printer whose bars measure {} mm across and {} mm up.", mm(x), mm(y));
}

/// Depths, facts and steps from `top` down, as wide as upright paper.
Group lower_part(const job::Job& job, const Mitre& m, const Vec2& top_left, double width) {
  Group group{.name = "depths",
              .label = "depths by clock angle, " + bike::spoken(m.member, m.end),
              .items = {},
              .clip = {}};
  const double x0 = top_left.x(), x1 = x0 + kTableWidth + kColumnGap, x2 = x1 + kTableWidth + kColumnGap + 2;
  double y = top_left.y();
  const std::string caption = "Depths from the scribe line, mm";
  add(group, heading({x0, y}, x2 - x0 - kColumnGap - 2, caption).items);
  const double below = heading({x0, y}, 10, "").bottom;
  const std::size_t half = (m.clock.size() + 1) / 2;
  Block left = table({x0, below}, depth_table(m, 0, half));
  add(group, std::move(left.items));
  add(group, table({x1, below}, depth_table(m, half, m.clock.size())).items);
  std::string meaning =
      "Clock: clockwise from the mark line, seen from the lower end. Bevel: lean of the cut face from square "
      "to the wall; above 0 the outer edge reaches farther.";
  if (m.passed_by > 0) meaning += " Past: the wall passes beside the " + bike::spoken(m.onto) + ".";
  add(group, paragraph({x0, left.bottom - 2}, x2 - x0 - kColumnGap - 2, meaning,
                       {.height = kLeastLetter, .leading = 1.5})
                 .items);
  const double wide = width - (x2 - x0);
  put(group, y, heading({x2, y}, wide, "The cut"));
  put(group, y, table({x2, y}, facts(m)), 2.5);
  int number = 0;
  for (const std::string& step : steps(m))
    put(group, y,
        marked_paragraph({x2, y}, wide, std::to_string(++number), 4, step,
                         {.height = kLeastLetter, .leading = 1.42}),
        0.8);
  put(group, y, paragraph({x2, y - 0.5}, wide, paper_note(job), {.height = kLeastLetter, .leading = 1.42}),
      1);
  return group;
}

/// The name of the piece in letters nobody mistakes, and what paper can't do.
Group head(const Mitre& m, const Box& box) {
  Group group{.name = "head", .label = bike::spoken(m.member, m.end), .items = {}, .clip = {}};
  const std::string name = capitals(bike::spoken(m.member)) + " – " + capitals(end_name(m));
  double y = box.max.y() - 1;
  put(group, y, paragraph({box.min.x() + 1, y}, box.width(), name, {.height = 7, .bold = true}), 1.6);
  const std::string what = "mitred onto the " + bike::spoken(m.onto) + "; template 1:1, printed side out";
  put(group, y, paragraph({box.min.x() + 1, y}, box.width(), what, {.height = 3.5}), 1.6);
  if (m.template_.error > drawing::kPaperLies) {
    const std::string off = fmt::format(
        "The tube bends under the paper: it is off by up to {} mm along the cut. Slit it along the ticks, or "
        "mark by the depths.",
        format_number(m.template_.error, 1));
    put(group, y,
        paragraph({box.min.x() + 1, y}, box.width() - 2, off, {.height = 2.5, .ink = Ink::warning}));
  }
  return group;
}

/// Paper a drawing of this size fits on besides the head: upright, turned, or larger.
Vec2 paper_for(Paper paper, const Box& need) {
  const Vec2 upright = size_of(paper), turned(upright.y(), upright.x());
  for (const Vec2& size : {upright, turned}) {
    const Box box = content_box(size.x(), size.y());
    if (need.width() + 2 <= box.width() && need.height() + kHeadHeight <= box.height()) return size;
  }
  const Box box = content_box(turned.x(), turned.y());
  return {turned.x() + std::max(0.0, std::ceil(need.width() + 2 - box.width())),
          turned.y() + std::max(0.0, std::ceil(need.height() + kHeadHeight - box.height()))};
}

std::vector<Page> pages_of(const job::Job& job, const solve::Answer& answer, const Mitre& m, Paper paper) {
  const bike::Member* member = bike::find_member(answer.fork.assembly, m.member);
  base::check(member != nullptr, "a mitre's member stands in the assembly");
  drawing::TemplateDrawing drawing = drawing::draw_template(m, *member, template_words(job, answer, m));
  const Vec2 upright = size_of(paper);
  const Box box = content_box(upright.x(), upright.y());
  Group lower = lower_part(job, m, {box.min.x() + 1, 0}, box.width() - 2);
  const double lower_height = kLowerGap - bounds_of(lower.items)->min.y();
  const bool together = drawing.bounds.width() <= box.width() &&
                        drawing.bounds.height() + kHeadHeight + lower_height <= box.height();
  const Vec2 size = together ? upright : paper_for(paper, drawing.bounds);
  const Box area = content_box(size.x(), size.y());
  const std::string name = bike::spoken(m.member, m.end);
  std::vector<Page> pages{{.width = size.x(), .height = size.y(), .name = name, .groups = {head(m, area)}}};
  // the template stands in the middle of what is left for it
  const double low = area.min.y() + (together ? lower_height : 0), high = area.max.y() - kHeadHeight;
  const Vec2 move = Vec2(area.centre().x(), 0.5 * (low + high)) - drawing.bounds.centre();
  for (Group& group : drawing.groups) {
    for (Item& item : group.items) shift(item, move);
    pages[0].groups.push_back(std::move(group));
  }
  if (!together) {
    pages.push_back(
        {.width = upright.x(), .height = upright.y(), .name = name + ", depths", .groups = {head(m, box)}});
  }
  const double top = together ? low - kLowerGap : box.max.y() - kHeadHeight;
  for (Item& item : lower.items) shift(item, {0, top});
  pages.back().groups.push_back(std::move(lower));
  return pages;
}

}  // namespace

drawing::TemplateWords template_words(const job::Job& job, const solve::Answer& answer, const Mitre& m) {
  drawing::TemplateWords w;
  w.piece = capitals(bike::spoken(m.member)) + " · " + end_name(m);
  w.revision = answer.revision;
  w.scribe =
      fmt::format("SCRIBE LINE {} mm from the {} of the stock", mm(m.scribe_from_end.centre), end_name(m));
  w.mark = is_blade(m) ? "MARK LINE (outside of the blade)" : "MARK LINE";
  const std::string foot(layout::row_of(job.lower_end.kind).foot);
  const std::string top(row_of(job.crown.kind).top);
  const std::string other = m.end == bike::End::end ? foot : top;
  w.base = is_blade(m) ? "this side toward the " + other : "this side stays";
  w.target = bike::spoken(m.onto);
  w.waste = "this side is waste, toward the " + w.target;
  return w;
}

Sheet mitre_templates(const job::Job& job, const solve::Answer& answer, Paper paper,
                      const TitleBlock& title) {
  Sheet sheet{.stem = paper == Paper::a4 ? "mitre-templates-a4" : "mitre-templates-letter",
              .title = answer.name + ", mitre templates",
              .pages = {}};
  for (const Mitre& m : answer.mitres)
    for (Page& page : pages_of(job, answer, m, paper)) sheet.pages.push_back(std::move(page));
  int number = 0;
  for (Page& page : sheet.pages) {
    TitleBlock block = title;
    block.sheet = title.sheet.empty() ? page.name : title.sheet + ", " + page.name;
    block.number = ++number, block.of = static_cast<int>(sheet.pages.size());
    furnish(page, block);
  }
  return sheet;
}

}  // namespace halfround::sheet
