#include "sheet/fit_up_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "paper/bound_sheet.h"
#include "sheet/check_tables.h"
#include "shop/set_up.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::kPi;
using base::to_deg;

/// Where a clock angle stands on the page: 0 at the top, clockwise, as seen from the member's lower end.
Vec2 clock(double u) {
  return base::unit_at(kPi / 2 - u);
}

std::string with_doubt(const study::Estimate& e, double unit, int decimals, const char* suffix) {
  if (!e.sd) return "these positions can't tell";
  return fmt::format("{} ± {}{}", format_number(unit * e.value, decimals),
                     format_number(2 * unit * *e.sd, decimals), suffix);
}

/// The clock: what to take off as bars outward, readings as dots, what must not be touched hatched.
Group face(const study::FitUp& f, const Vec2& c, double radius) {
  Group g{.name = "clock", .label = "what to take off at which clock angle", .items = {}, .clip = {}};
  double most = 0.1;
  for (const study::TakeOff& t : f.table) most = std::max(most, t.take_off);
  const double reach = 17, half = kPi / 24 * 0.8;
  for (const study::TakeOff& t : f.table) {
    const auto field = [&](double r0, double r1) {
      std::vector<Vec2> ring;
      for (int i = -4; i <= 4; ++i) ring.push_back(c + r1 * clock(t.u + half * i / 4));
      for (int i = 4; i >= -4; --i) ring.push_back(c + r0 * clock(t.u + half * i / 4));
      return ring;
    };
    if (!t.met || t.no_touch) {
      g.items.emplace_back(Area{.rings = {field(radius, radius + 5)},
                                .fill = t.no_touch ? Area::Fill::hatch : Area::Fill::tone,
                                .tone = 0.2,
                                .spacing = 1.2});
      continue;
    }
    if (t.take_off < 0.005) continue;
    Path bar{.points = field(radius, radius + reach * t.take_off / most), .closed = true, .stroke = {}};
    bar.filled = true;
    g.items.emplace_back(std::move(bar));
    if (t.take_off > 0.6 * most)
      g.items.emplace_back(Text{.at = c + (radius + reach + 5) * clock(t.u) - Vec2(0, 1.25),
                                .text = format_number(t.take_off, 2),
                                .height = 2.5,
                                .anchor = Anchor::centre});
  }
  g.items.emplace_back(circle(c, radius, {Weight::thick}));
  for (int u = 0; u < 360; u += 15) {
    const Vec2 d = clock(base::to_rad(u));
    g.items.emplace_back(line(c + (radius - (u % 90 == 0 ? 3 : 1.5)) * d, c + radius * d, {Weight::thin}));
    if (u % 45 == 0)
      g.items.emplace_back(Text{.at = c + (radius - 8) * d - Vec2(0, 1.5),
                                .text = fmt::format("{}°", u),
                                .height = 3,
                                .anchor = Anchor::centre,
                                .bold = u == 0});
  }
  // which way it leans: toward where it touches first
  if (f.lean > 1e-5) {
    const Vec2 d = clock(f.u_high);
    g.items.emplace_back(line(c - 0.35 * radius * d, c + 0.5 * radius * d, {Weight::medium}));
    g.items.push_back(arrow_head(c + 0.5 * radius * d, d, 4));
  }
  return g;
}

Table table_of(const study::FitUp& f, std::size_t from, std::size_t to) {
  Table t;
  t.height = 3, t.row = 5.4, t.rule_every = 3;
  t.columns = {{"clock", 16}, {"gap now", 22}, {"take off", 22}, {"gap left", 22}};
  for (std::size_t i = from; i < std::min(to, f.table.size()); ++i) {
    const study::TakeOff& o = f.table[i];
    const std::string u = base::format_clock(o.u);
    if (!o.met) {
      t.rows.push_back({{u}, {"beside"}, {"–"}, {"–"}});
      continue;
    }
    t.rows.push_back({{u},
                      {format_number(o.gap, 2)},
                      {o.no_touch  ? "keep off"
                       : o.grazing ? "level"
                                   : format_number(o.take_off, 2),
                       true},
                      {format_number(o.left, 2)}});
  }
  return t;
}

}  // namespace

Sheet fit_up_sheet(const study::FitUp& f, Paper paper, const TitleBlock& title) {
  BoundSheet sheet(paper, "fit-up", "fit-up");
  sheet.turn();
  const Box& box = sheet.box();
  sheet.put("headings", "fit-up",
            paragraph({box.min.x(), sheet.y()}, box.width(),
                      fmt::format("{}, onto the {}", bike::spoken(f.member, f.end), bike::spoken(f.onto)),
                      {.height = 5, .leading = 1.4, .bold = true}));
  const double radius = 30, top = sheet.y() - 2;
  const Vec2 c(box.min.x() + 56, top - radius - 24);
  sheet.put(face(f, c, radius));
  // the one number and what else was found
  double most = 0, where = 0;
  for (const study::TakeOff& t : f.table)
    if (t.met && !t.no_touch && t.take_off > most) most = t.take_off, where = t.u;
  const double x = box.min.x() + 116, wide = box.max.x() - x;
  Block words = paragraph({x, top - 4}, wide, "take off at most", {.height = 3});
  add_to(words, paragraph({x, words.bottom - 1}, wide, format_number(most, 2) + " mm",
                          {.height = 11, .leading = 1.2, .bold = true}));
  add_to(words, paragraph({x, words.bottom - 1}, wide, "at clock " + base::format_clock(where),
                          {.height = 5, .leading = 1.4}));
  words.bottom -= 3;
  const std::pair<std::string, std::string> rows[] = {
      {"stands off", with_doubt(f.height, 1, 2, " mm")},
      {"angle in the plane of both axes", with_doubt(f.angle, to_deg(1), 2, "°")},
      {"angle square to it", with_doubt(f.side, to_deg(1), 2, "°")},
      {"both together", format_number(to_deg(f.lean), 2) + "°, high at " + base::format_clock(f.u_high)},
      {"what the model leaves", format_number(f.rms, 3) + " mm rms"},
      {"comes nearer once filed", format_number(f.advance, 2) + " mm"},
      {"greatest gap that stays", format_number(f.worst_left, 2) + " mm"}};
  for (const auto& [what, value] : rows) {
    add_to(words, paragraph({x, words.bottom - 0.8}, wide, what, {.height = 2.5}));
    add_to(words, paragraph({x, words.bottom - 0.4}, wide, value, {.height = 3.2, .bold = true}));
  }
  const double low = std::min(words.bottom, c.y() - radius - 24);
  sheet.put("found", "what was found", std::move(words));
  Group tables{.name = "table", .label = "filing table", .items = {}, .clip = {}};
  const std::size_t half = (f.table.size() + 1) / 2;
  Block one = table({box.min.x(), low - 2}, table_of(f, 0, half));
  Block two = table({box.min.x() + 0.5 * box.width() + 6, low - 2}, table_of(f, half, f.table.size()));
  const double bottom = std::min(one.bottom, two.bottom);
  add(tables, std::move(one.items)), add(tables, std::move(two.items));
  sheet.put(std::move(tables));
  Block notes{.items = {}, .bottom = bottom - 2};
  std::vector<std::string> all{
      "Clock seen from the tube's lower end. Bars: what to take off, along the tube. Hatched: keep off. "
      "Grey: passes "
      "beside. Arrow: the side that stands high. ± two standard deviations."};
  all.insert(all.end(), f.notes.begin(), f.notes.end());
  for (const std::string& n : all) {
    Block next = marked_paragraph({box.min.x(), notes.bottom - 0.8}, box.width(), "–", 4, n,
                                  {.height = 2.8, .leading = 1.45});
    if (next.bottom < box.min.y()) {
      sheet.put("notes", "notes", std::move(notes));
      sheet.turn();
      notes = Block{.items = {}, .bottom = box.max.y()};
      next = marked_paragraph({box.min.x(), notes.bottom - 0.8}, box.width(), "–", 4, n,
                              {.height = 2.8, .leading = 1.45});
    }
    add_to(notes, std::move(next));
  }
  sheet.put("notes", "notes", std::move(notes));
  return std::move(sheet).finished(title);
}

}  // namespace halfround::sheet
