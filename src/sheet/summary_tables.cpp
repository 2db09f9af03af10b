#include "sheet/summary_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "drawing/tyre_section.h"
#include "shop/set_up.h"
#include "solve/notes.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::Quantity;
using base::to_deg;

constexpr double kRow = 3.7, kLetters = 2.2;

std::string mm(double v, int decimals = 1) {
  return format_number(v, decimals);
}
std::string deg(double v, int decimals = 1) {
  return format_number(to_deg(v), decimals) + "°";
}

/// A difference as people read it: nothing shows as a plain 0.
std::string difference(double v, bool angle) {
  const double shown = angle ? to_deg(v) : v;
  if (std::abs(shown) < 0.005) return "0";
  return (shown > 0 ? "+" : "") + format_number(shown, 2) + (angle ? "°" : "");
}

struct Asked {
  std::string what, typed;
  double asked = 0, got = 0;
  bool angle = false, italic = false;
};

std::vector<Cell> row_of(const Asked& a) {
  const auto show = [&](double v) { return a.angle ? deg(v, 2) : mm(v, 2); };
  return {{.text = a.what},
          {.text = a.typed, .italic = a.italic},
          {.text = show(a.asked), .italic = a.italic},
          {.text = show(a.got), .bold = true, .italic = a.italic},
          {.text = difference(a.got - a.asked, a.angle)},
          {.text = a.angle ? "" : base::format_inches(a.got, 64), .italic = a.italic}};
}

Asked asked_of(const std::string& what, const Quantity& q, double got, bool angle = false) {
  return {what, q.typed, q.value, got, angle, false};
}

/// The wishes with what came of them: once for both sides where nothing differs, else side by side.
void add_wishes(const job::Job& job, const solve::Answer& a, std::vector<Asked>& rows) {
  const auto of_side = [&](const std::vector<job::Wished>& two, bool left, const std::string& whose) {
    const layout::Placed& placed = left ? a.fork.left : a.fork.right;
    const double stock = layout::own_side(a.intent, left).left.stock_length;
    for (const job::Wished& wish : two) {
      const layout::Wish what = wish.what;
      rows.push_back(asked_of("wish: " + layout::name_of(what) + whose, wish.value,
                              layout::outcome(what, placed, stock), layout::is_angle(what)));
    }
  };
  of_side(job.wishes.two, true, a.fork.mirrored ? "" : ", left");
  if (!a.fork.mirrored)
    of_side(job.wishes.right.empty() ? job.wishes.two : job.wishes.right, false, ", right");
}

const study::Mitre* mitre_at(const solve::Answer& a, const bike::Part& member, bike::End end) {
  for (const study::Mitre& m : a.mitres)
    if (m.member == member && m.end == end) return &m;
  return nullptr;
}

/// Stock beyond the cut at the upper end, mm.
double left_over(const solve::Answer& a, const bike::Part& member) {
  const bike::Member* b = bike::find_member(a.fork.assembly, member);
  const study::Mitre* top = mitre_at(a, member, bike::End::end);
  if (!b) return 0;
  return b->stock_length - (top ? top->s_most : b->s_end);
}

double stock_of(const solve::Answer& a, const bike::Part& member) {
  const bike::Member* b = bike::find_member(a.fork.assembly, member);
  return b ? b->stock_length : 0;
}

std::string or_dash(bool there, const std::string& text) {
  return there ? text : "–";
}

std::vector<Cell> blade_row(const solve::Answer& a, const bike::Member& m, int number) {
  const study::Mitre* low = mitre_at(a, m.part, bike::End::start);
  const study::Mitre* top = mitre_at(a, m.part, bike::End::end);
  const double from = low ? low->s_least : m.s_start, to = top ? top->s_most : m.s_end;
  std::string note;
  if (!low) note = fmt::format("lower end square at {} mm", mm(m.s_start));
  return {{.text = std::to_string(number)},
          {.text = bike::spoken(m.part), .bold = true},
          {.text = mm(m.stock_length)},
          {.text = or_dash(low, low ? mm(low->scribe_from_end.centre, 2) : "")},
          {.text = or_dash(low && top, low && top ? mm(top->s_scribe - low->s_scribe, 2) : "")},
          {.text = or_dash(top, top ? mm(top->scribe_from_end.centre, 2) : "")},
          {.text = mm(to - from)},
          {.text = note}};
}

}  // namespace

Table asked_and_got(const job::Job& job, const solve::Answer& a) {
  Table out{.columns = {{"", 37, Anchor::left},
                        {"as typed", 24, Anchor::left},
                        {"asked", 18, Anchor::right},
                        {"got", 18, Anchor::right},
                        {"difference", 17, Anchor::right},
                        {"inches", 34, Anchor::right}},
            .rows = {},
            .row = kRow,
            .height = kLetters};
  const bool straight = job.steering.axle_to_crown_is == job::AxleToCrown::straight;
  const double reach = straight ? a.handling.axle_to_crown_straight : a.handling.axle_to_crown_along;
  std::vector<Asked> rows{asked_of("head angle", job.steering.head_angle, a.handling.head_angle, true),
                          asked_of("offset", job.steering.offset, a.fork.left.shares.sum()),
                          asked_of(straight ? "axle to crown, straight" : "axle to crown, along axis",
                                   job.steering.axle_to_crown, reach),
                          asked_of("over-locknut", job.hub.over_locknut, a.intent.over_locknut)};
  const layout::LowerEnd& end = a.intent.lower_end;
  if (end.bore > 0)
    rows.push_back(
        asked_of("axle, bore of the " + std::string(row_of(end.kind).foot), job.hub.axle, end.bore));
  if (end.slot_width > 0) rows.push_back(asked_of("axle, slot of the dropout", job.hub.axle, end.slot_width));
  add_wishes(job, a, rows);
  for (const Asked& row : rows) out.rows.push_back(row_of(row));
  const double wide = drawing::tyre_width(a);
  const bool assumed = job.wheel.half_profile.empty();
  out.rows.push_back({{.text = "tyre, outside width"},
                      {.text = assumed ? job.wheel.tyre : "measured", .italic = assumed},
                      {},
                      {.text = mm(wide, 2), .bold = true, .italic = assumed},
                      {},
                      {.text = base::format_inches(wide, 64), .italic = assumed}});
  return out;
}

Table shares_table(const solve::Answer& a) {
  Table out{.columns = {{"", 28, Anchor::left}, {a.fork.mirrored ? "mm" : "left", 14, Anchor::right}},
            .rows = {},
            .row = kRow,
            .height = kLetters,
            .rule_last = true};
  if (!a.fork.mirrored) out.columns.push_back({"right", 14, Anchor::right});
  const auto row = [&](const std::string& what, double left, double right, bool bold) {
    std::vector<Cell> cells{{.text = what, .bold = bold}, {.text = mm(left, 2), .bold = bold}};
    if (!a.fork.mirrored) cells.push_back({.text = mm(right, 2), .bold = bold});
    out.rows.push_back(std::move(cells));
  };
  const layout::Shares &l = a.fork.left.shares, &r = a.fork.right.shares;
  row(layout::name_of(layout::Share::tilt), l.tilt, r.tilt, false);
  row(layout::name_of(layout::Share::mitre_offset), l.mitre_offset, r.mitre_offset, false);
  row(layout::name_of(layout::Share::rake), l.rake, r.rake, false);
  row(layout::name_of(layout::Share::dropout_lead), l.dropout_lead, r.dropout_lead, false);
  row("offset", l.sum(), r.sum(), true);
  return out;
}

Table blade_table(const solve::Answer& a) {
  Table out{.columns = {{"", 45, Anchor::left}, {"left", 14, Anchor::right}, {"right", 14, Anchor::right}},
            .rows = {},
            .row = kRow,
            .height = kLetters};
  const layout::Placed &l = a.fork.left, &r = a.fork.right;
  const auto row = [&](const std::string& what, const std::string& left, const std::string& right) {
    out.rows.push_back({{.text = what}, {.text = left}, {.text = right}});
  };
  row("splay", deg(l.splay, 2), deg(r.splay, 2));
  row("top angle to the steerer", deg(l.top_angle, 2), deg(r.top_angle, 2));
  row("tilt of the blade's plane", deg(l.tilt_angle, 2), deg(r.tilt_angle, 2));
  row("crown height below the seat", mm(l.crown_height), mm(r.crown_height));
  row("tyre clearance", mm(l.clearance.value), mm(r.clearance.value));
  row("lower trim, centreline", mm(l.lower_trim), mm(r.lower_trim));
  row("length used, centreline", mm(l.s_top - l.lower_trim), mm(r.s_top - r.lower_trim));
  const bike::Part left = bike::part(bike::PartKind::blade, bike::Side::left), right = bike::other_side(left);
  row("stock", mm(stock_of(a, left)), mm(stock_of(a, right)));
  row("left over above the mitre", mm(left_over(a, left)), mm(left_over(a, right)));
  return out;
}

Table steering_table(const solve::Answer& a) {
  Table out{.columns = {{"", 40, Anchor::left}, {"mm", 14, Anchor::right}},
            .rows = {},
            .row = kRow,
            .height = kLetters};
  const auto row = [&](const std::string& what, double v) {
    out.rows.push_back({{.text = what}, {.text = mm(v)}});
  };
  row(a.handling.loaded_trail ? "trail, tyre unloaded" : "trail", a.handling.trail);
  if (a.handling.loaded_trail) row("trail, rider on", *a.handling.loaded_trail);
  row("mechanical trail", a.handling.normal_trail);
  row("wheel flop", a.handling.flop);
  row("wheel radius", a.handling.wheel_radius);
  row("axle to crown, straight", a.handling.axle_to_crown_straight);
  row("axle to crown, along axis", a.handling.axle_to_crown_along);
  row("tyre to steerer", a.crown_gap);
  row("joint below the seat", a.seat_gap);
  return out;
}

Table cut_list(const solve::Answer& a) {
  Table out{.columns = {{"", 6, Anchor::left},
                        {"part", 24, Anchor::left},
                        {"stock", 17, Anchor::right},
                        {"scribe, lower end", 29, Anchor::right},
                        {"between scribe lines", 28, Anchor::right},
                        {"scribe, upper end", 29, Anchor::right},
                        {"tip to tip", 16, Anchor::right},
                        {"", 43, Anchor::left}},
            .rows = {},
            .row = kRow,
            .height = kLetters};
  int number = 0;
  const auto plain = [&](const bike::Member& m, const std::string& note) {
    std::vector<Cell> cells(8);
    cells[0].text = std::to_string(++number);
    cells[1] = {.text = bike::spoken(m.part), .bold = true};
    cells[2].text = mm(m.stock_length);
    cells[7].text = note;
    out.rows.push_back(std::move(cells));
  };
  const auto& members = a.fork.assembly.members;
  using bike::PartKind;
  for (const bike::Member& m : members)
    if (m.part.kind == PartKind::steerer)
      plain(m, fmt::format("{} mm below the race seat", mm(a.intent.steerer.below_seat)));
  for (const bike::Member& m : members) {
    if (m.part.kind != PartKind::insert) continue;
    const layout::LowerEnd low = layout::own_side(a.intent, m.part.side == bike::Side::left).lower_end;
    plain(m, fmt::format("turn ø{}, bore {}", mm(low.diameter), mm(low.bore)));
  }
  for (const bike::Member& m : members) {
    if (m.part.kind != PartKind::crown_tube) continue;
    plain(m, fmt::format("ø{} × {}, both mitred", mm(m.tube.profile.width(0)), mm(m.tube.profile.wall(0))));
  }
  for (const bike::Member& m : members)
    if (m.part.kind == PartKind::blade) out.rows.push_back(blade_row(a, m, ++number));
  return out;
}

}  // namespace halfround::sheet
