#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "drawing/adapter_profile.h"
#include "paper/bound_sheet.h"
#include "sheet/shop_sheets.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using shop::Adapter;
using shop::AdapterKind;

std::string limits_of(const shop::FitLimits& f) {
  const auto signed_mm = [](double v) { return (v > 0 ? "+" : "") + format_number(v, 3); };
  return fmt::format("ø{} {}: {} / {}, that is {} to {}", format_number(f.nominal, 1), f.tolerance_class,
                     signed_mm(f.upper), signed_mm(f.lower), format_number(f.least(), 3),
                     format_number(f.most(), 3));
}

std::string fit_mark(const shop::FitLimits& f) {
  return fmt::format("ø{} {}", format_number(f.nominal, 1), f.tolerance_class);
}

double middle(const std::optional<shop::FitLimits>& fit) {
  return fit ? fit->nominal / 2 : 0;
}

double scale_for(const drawing::Turned& t, double width, double height) {
  for (const double s : {5.0, 2.0, 1.0, 0.5})
    if (s * t.length <= width && 2 * s * t.radius <= height) return s;
  return 0.2;
}

void put_outline(Group& g, const drawing::Turned& t, const Vec2& at, double s) {
  const auto on = [&](const Vec2& p, double side) {
    return Vec2(at.x() + s * p.x(), at.y() + side * s * p.y());
  };
  const bool solid = t.bore <= 0;
  std::vector<Vec2> upper, lower;
  for (const Vec2& p : t.half) upper.push_back(on(p, 1)), lower.push_back(on(p, -1));
  if (solid) {
    // a shaft isn't cut along: its outline, and an edge wherever its diameter changes
    upper.insert(upper.end(), lower.rbegin(), lower.rend());
    g.items.emplace_back(Path{.points = upper, .closed = true, .stroke = {Weight::thick}});
    for (std::size_t i = 1; i + 1 < t.half.size(); ++i)
      g.items.emplace_back(line(on(t.half[i], 1), on(t.half[i], -1), {Weight::medium}));
  } else {
    for (const auto& ring : {upper, lower})
      g.items.emplace_back(Area{.rings = {ring}, .fill = Area::Fill::hatch, .spacing = 2.2});
    for (const auto& ring : {upper, lower})
      g.items.emplace_back(Path{.points = ring, .closed = true, .stroke = {Weight::thick}});
    // what is seen behind the cut
    for (const Vec2& p :
         {t.half.back(), t.half[t.half.size() - 4], t.half[t.half.size() - 3], t.half[t.half.size() - 2]})
      g.items.emplace_back(line(on(p, 1), on(p, -1), {Weight::medium}));
  }
  g.items.emplace_back(line(at - Vec2(8, 0), at + Vec2(s * t.length + 8, 0), {Weight::thin, Dash::chain}));
}

void put_dimensions(Group& g, const Adapter& a, const drawing::Turned& t, const Vec2& at, double s) {
  const DimensionStyle style{.height = 3.5, .arrow = 3};
  const auto on = [&](double x, double r) { return Vec2(at.x() + s * x, at.y() + s * r); };
  const auto along = [&](double x0, double x1, double r, double out, double value, int decimals) {
    add(g, dimension_along(on(x0, r), on(x1, r), {1, 0}, out, format_number(value, decimals), style));
  };
  const double r = middle(a.spigot_fit), edge = s * t.radius;
  if (a.kind == AdapterKind::dummy_axle) {
    along(a.spigot, a.spigot + a.over_shoulders, t.radius, 24, a.over_shoulders, 2);
    along(0, a.spigot, r, edge - s * r + 24, a.spigot, 1);
    along(0, t.length, -r, -(edge - s * r + 10), t.length, 1);
  } else {
    if (a.shoulder > 0 && a.spigot > 0) {
      along(a.shoulder, 0, t.radius, 10, a.shoulder, 2);  // its figure stands outside, at the left
      along(a.shoulder, t.length, r, edge - s * r + 10, a.spigot, 1);
    }
    along(0, t.length, -(a.shoulder > 0 ? t.radius : r), -10, t.length, 2);
  }
  // diameters: the shoulder's at the left, the spigot's at the right, the bore's at the far left
  if (a.shoulder_diameter > 0 && a.kind != AdapterKind::dummy_axle)
    add(g, dimension_along(on(0, -t.radius), on(0, t.radius), {0, 1}, 12,
                           "ø" + format_number(a.shoulder_diameter, 1), style));
  if (a.kind == AdapterKind::dummy_axle)
    add(g, dimension_along(on(t.length / 2, -t.radius), on(t.length / 2, t.radius), {0, 1}, 0,
                           "ø" + format_number(a.shoulder_diameter, 1), style));
  if (a.spigot_fit)
    add(g, dimension_along(on(t.length, -r), on(t.length, r), {0, 1}, -24, fit_mark(*a.spigot_fit), style));
  if (a.bore_fit)
    add(g, dimension_along(on(t.length, -t.bore), on(t.length, t.bore), {0, 1}, -12, fit_mark(*a.bore_fit),
                           style));
  // one chamfer stands for all: the left one below, of the bore or of a shaft's tip
  const double c = a.chamfer / 2, corner = a.kind == AdapterKind::dummy_axle ? r - c : t.bore + c;
  add(g, leader(on(c, -corner), on(0, -t.radius) + Vec2(-10, -17), format_number(a.chamfer, 1) + " × 45°",
                style));
  if (a.relief > 0)
    add(g,
        leader(on((a.kind == AdapterKind::dummy_axle ? a.spigot + a.over_shoulders : a.shoulder) + a.relief,
                  -(r - a.relief)),
               on(t.length, -t.radius) + Vec2(4, -17), fmt::format("relief {}", format_number(a.relief, 1)),
               style));
}

std::vector<std::string> notes_of(const shop::FixtureSheet& f, const Adapter& a) {
  std::vector<std::string> out;
  out.push_back(a.pieces > 1 ? std::string("One for each side, both alike.") : "One piece.");
  if (a.kind == AdapterKind::race_ring)
    out.push_back(
        fmt::format("Goes into the race stop of the fixture {}, its flange outside; the crown race seat "
                    "stands on the flange. "
                    "The settings count with a flange of {} mm: what yours measures more goes onto every "
                    "scale that counts "
                    "from the stop.",
                    f.fixture, format_number(a.shoulder, 2)));
  if (a.kind == AdapterKind::clamp_sleeve)
    out.push_back(fmt::format("Goes round the steerer in the clamp of the fixture {}.", f.fixture));
  if (f.dummy && shop::for_hub(a.kind) && a.kind != AdapterKind::dummy_axle)
    out.push_back(fmt::format(
        "Goes on the dummy axle of {} mm over its shoulders, ø{}, of the fixture {}; its shoulder "
        "stands against the dummy's, the fork end slides over it from outside.",
        format_number(f.dummy->over_locknut, 1), format_number(f.dummy->diameter, 1), f.fixture));
  if (a.spigot_fit)
    out.push_back((a.kind == AdapterKind::dummy_axle ? "Ends " : "Spigot ") + limits_of(*a.spigot_fit) +
                  " mm.");
  if (a.bore_fit) out.push_back("Bore " + limits_of(*a.bore_fit) + " mm.");
  const auto loose = [](const shop::Clearance& c) {
    return fmt::format("{} to {} mm", format_number(c.least, 3), format_number(c.most, 3));
  };
  if (a.in_fork_end) out.push_back("Play in the fork end, over the diameter: " + loose(*a.in_fork_end) + ".");
  if (a.on_dummy) out.push_back("Play on the dummy axle, over the diameter: " + loose(*a.on_dummy) + ".");
  if (shop::for_hub(a.kind))
    out.push_back(fmt::format("The fork end can then stand off the middle by {} mm at worst.",
                              format_number(a.play, 3)));
  out.push_back(
      "Chamfers at the spigot's tip and at both ends of the bore; break the other edges. Shoulder faces "
      "square "
      "to the bore: turn both in one chucking.");
  out.push_back(
      "Mild steel. It is heated with the fork: no brass near filler, no plated or zinc-coated bar.");
  out.insert(out.end(), a.notes.begin(), a.notes.end());
  return out;
}

}  // namespace

Sheet adapter_sheet(const solve::ShopPlan& plan, Paper paper, const TitleBlock& title) {
  BoundSheet sheet(paper, "adapter", "adapter for the fixture");
  std::string scale;
  for (const shop::FixtureSheet& f : plan.fixtures) {
    for (const Adapter& a : f.pieces) {
      sheet.turn();
      const Box& box = sheet.box();
      const drawing::Turned t = drawing::turned(a);
      const double s = scale_for(t, box.width() - 90, 80);
      const std::string now = s >= 1 ? base::say("{:.0f}:1", s) : base::say("1:{:.0f}", 1 / s);
      scale = scale.empty() || scale == now ? now : "as stated";
      sheet.put("headings", a.title,
                paragraph({box.min.x(), sheet.y()}, box.width(),
                          fmt::format("{}, for the fixture {}", a.title, f.fixture),
                          {.height = 5, .leading = 1.4, .bold = true}));
      sheet.put("scale", "scale",
                paragraph({box.min.x(), sheet.y() - 1}, box.width(), "scale " + now, {.height = 3.5}));
      const Vec2 at(box.centre().x() - 0.5 * s * t.length - 4, sheet.y() - 28 - s * t.radius);
      Group g{.name = "outline", .label = a.title, .items = {}, .clip = {}};
      put_outline(g, t, at, s);
      sheet.put(std::move(g));
      Group d{.name = "dimensions", .label = "dimensions", .items = {}, .clip = {}};
      put_dimensions(d, a, t, at, s);
      sheet.put(std::move(d));
      Block list{.items = {}, .bottom = at.y() - s * t.radius - 24};
      int n = 0;
      for (const std::string& note : notes_of(f, a))
        add_to(list, marked_paragraph({box.min.x(), list.bottom - 1}, box.width(), std::to_string(++n), 7,
                                      note, {.height = 3.2, .leading = 1.5}));
      sheet.put("notes", "notes", std::move(list));
    }
  }
  return std::move(sheet).finished(title, scale);
}

}  // namespace halfround::sheet
