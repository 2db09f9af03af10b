#include "drawing/card_pictures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "drawing/plot.h"
#include "drawing/view.h"
#include "paper/clip.h"

namespace halfround::drawing {
namespace {

using base::format_number;
using base::kPi;
using base::to_deg;
using base::Vec3;

constexpr double kLetters = 2.5;

Text centred(const Vec2& at, const std::string& text, double height = kLetters, bool bold = false) {
  return {.at = at, .text = text, .height = height, .anchor = Anchor::centre, .bold = bold, .backed = true};
}

void put_clipped(Items& out, const Item& item, const Box& box) {
  for (Item& part : clipped(item, box)) out.push_back(std::move(part));
}

/// The setting point: on the cutter's axis, nearest to where the tube is cut.
Vec3 setting_point(const shop::MachineSetUp& s, const std::vector<study::Mitre>& mitres) {
  Vec3 cut = s.held.point;
  for (const study::Mitre& m : mitres) {
    if (m.member != s.member || m.end != s.end) continue;
    cut = Vec3::Zero();
    for (const study::EdgePoint& p : m.outer) cut += p.point / static_cast<double>(m.outer.size());
  }
  if (s.cutters.empty()) return cut;
  const Vec3 on = s.cutters.front().axis_point;
  return on + (cut - on).dot(s.cutter_axis) * s.cutter_axis;
}

}  // namespace

Items seen_from_above(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                      const shop::MachineSetUp& s, const Box& box) {
  Items out;
  const bike::Member* member = bike::find_member(assembly, s.member);
  base::check(member != nullptr, "a set-up names a member");
  // a fork blade's bend and its cut fit into 130 mm
  const double scale = box.height() / 130;
  View view{s.held.axis.cross(s.up) * scale, s.held.axis * scale, s.up, {0, 0}};
  const Vec3 p3 = setting_point(s, mitres);
  view.origin = Vec2(box.centre().x(), box.min.y() + 0.64 * box.height()) - view(p3);
  const Vec2 p = view(p3), along = Vec2(0, 1);
  const Vec2 a = Vec2(s.cutter_axis.dot(view.right), s.cutter_axis.dot(view.up)).normalized();
  const double radius = scale * 0.5 * (s.cutters.empty() ? s.target_diameter : s.cutters.front().diameter);
  // the cutter as a toned band, its axis in chain line
  const Vec2 aside(-a.y(), a.x());
  const double far = 2 * box.height();
  const std::vector<Vec2> band{p - far * a - radius * aside, p + far * a - radius * aside,
                               p + far * a + radius * aside, p - far * a + radius * aside};
  put_clipped(out, Area{.rings = {band}, .fill = Area::Fill::tone, .tone = 0.12}, box);
  for (const double side : {-1.0, 1.0})
    put_clipped(
        out, line(p - far * a + side * radius * aside, p + far * a + side * radius * aside, {Weight::thin}),
        box);
  put_clipped(out, line(p - far * a, p + far * a, {Weight::thin, Dash::chain}), box);
  // the tube as it will be, its far side left out
  const std::vector<Trimmed> parts = trimmed(assembly, mitres);
  for (const Trimmed& part : parts) {
    if (part.member != member) continue;
    for (const Side& side : sides(part, view, {}))
      put_clipped(out, Path{.points = side.points, .stroke = {Weight::thick}}, box);
    for (const study::Mitre* cut : {part.at_start, part.at_end}) {
      if (!cut) continue;
      for (const Side& e : edge(*cut, *member, view))
        if (!e.hidden) put_clipped(out, Path{.points = e.points, .stroke = {Weight::medium}}, box);
    }
  }
  const Vec2 held = view(s.held.point);
  put_clipped(out, line({held.x(), box.min.y()}, {held.x(), box.max.y()}, {Weight::thin, Dash::chain}), box);
  // the angle, from the tube's direction to the cutter's
  const double from = std::atan2(along.y(), along.x()), to = std::atan2(a.y(), a.x());
  const double reach = 0.3 * box.height();
  if (std::abs(held.x() - p.x()) > 0.5)
    put_clipped(out, line(p, p + (reach + 3) * along, {Weight::thin}), box);
  for (Item& item : dimension_angle(p, std::min(from, to), std::max(from, to), reach, "", {.arrow = 2}))
    if (!std::holds_alternative<Text>(item)) put_clipped(out, item, box);
  out.emplace_back(rectangle(box, {Weight::thin, Dash::solid, Ink::faint}));
  return out;
}

Items seen_along(const bike::Assembly& assembly, const shop::MachineSetUp& s, const Box& box) {
  Items out;
  const bike::Member* member = bike::find_member(assembly, s.member);
  base::check(member != nullptr, "a set-up names a member");
  const double at = 0.5 * (s.held.from + s.held.to);
  const shape::Frame f = member->tube.centreline.at(at);
  const double offset = s.cutters.empty() ? 0 : s.cutters.front().offset;
  const double radius = 0.5 * (s.cutters.empty() ? s.target_diameter : s.cutters.front().diameter);
  const double tube = 0.5 * member->tube.profile.width(at);
  const double high = std::max(tube + 16, offset + radius), low = std::min(-tube - 4, offset - radius);
  const double scale = std::min(box.height() / (high - low + 4), 0.9);
  // the paper is as wide as it is: a tube near the middle, room for words on both sides
  View view{s.held.axis.cross(s.up) * scale, s.up * scale, -s.held.axis, {0, 0}};
  view.origin = Vec2(box.centre().x(), box.max.y() - scale * (high + 2)) - view(f.c);
  const Vec2 c = view(f.c), cutter = c + Vec2(0, scale * offset);
  const double r = scale * radius;
  const Box band{{box.min.x(), cutter.y() - r}, {box.max.x(), cutter.y() + r}};
  const std::vector<Vec2> corners{
      band.min, {band.max.x(), band.min.y()}, band.max, {band.min.x(), band.max.y()}};
  out.emplace_back(Area{.rings = {corners}, .fill = Area::Fill::tone, .tone = 0.12});
  out.emplace_back(line(band.min, {band.max.x(), band.min.y()}, {Weight::thin}));
  out.emplace_back(line({band.min.x(), band.max.y()}, band.max, {Weight::thin}));
  out.emplace_back(line({band.min.x(), cutter.y()}, {band.max.x(), cutter.y()}, {Weight::thin, Dash::chain}));
  const std::vector<Vec2> section = ring(member->tube, at, view);
  out.emplace_back(Path{.points = section, .closed = true, .stroke = {Weight::thick}});
  const auto clock = [&](double u) -> Vec2 {
    const Vec3 d = std::cos(u) * f.m + std::sin(u) * f.b;
    return Vec2(d.dot(view.right), d.dot(view.up)).normalized();
  };
  const double rim = scale * tube;
  // the mark line as a filled notch, its name outside
  const Vec2 mark = clock(0);
  out.push_back(arrow_head(c + rim * mark, -mark, 3));
  out.emplace_back(line(c, c + rim * mark, {Weight::thin}));
  const Vec2 up(0, 1);
  out.emplace_back(line(c, c + (rim + 7) * up, {Weight::medium}));
  out.push_back(arrow_head(c + (rim + 7) * up, up, 3));
  return out;
}

Items stop_picture(const shop::Stop& stop, bool right, const Box& box) {
  Items out;
  const double y = box.min.y() + 0.28 * box.height(), r = 0.16 * box.height();
  const double way = right ? 1 : -1;
  const double end = right ? box.max.x() - 5 : box.min.x() + 5;
  const double feature = right ? box.min.x() + 7 : box.max.x() - 7;
  const bool back = stop.distance < 0;
  const double a = back ? end - way * 3 : feature, b = back ? feature + way * 14 : end;
  // a tube, the feature as a line across it, the setting point as a cross
  const double start = back ? feature : feature - way * 5;
  out.emplace_back(line({start, y - r}, {end, y - r}, {Weight::thick}));
  out.emplace_back(line({start, y + r}, {end, y + r}, {Weight::thick}));
  out.emplace_back(line({a, y - r - 1.5}, {a, y + r + 1.5}, {Weight::thick}));
  for (Item& item : centre_mark({b, y}, r)) out.push_back(std::move(item));
  out.emplace_back(circle({b, y}, 1.2, {Weight::medium}));
  for (Item& item : dimension_along({a, y + r + 1}, {b, y + r + 1}, {1, 0}, 4, "", {.arrow = 3}))
    if (!std::holds_alternative<Text>(item)) out.push_back(std::move(item));
  return out;
}

Items gap_map(const shop::CutterFit& cutter, const Box& box) {
  Items out;
  double most = 0.25;  // a chart of nothing still has a scale
  for (const shop::GapPoint& g : cutter.gaps)
    if (g.reached == shop::Reached::met) most = std::max(most, g.gap);
  const Plot plot{.area = {box.min + Vec2(9, kAxisBelow), box.max - Vec2(2, 5)},
                  .x0 = 0,
                  .x1 = 360,
                  .y0 = 0,
                  .y1 = 1.1 * most,
                  .letters = kLetters};
  // runs of one kind
  std::vector<Vec2> met;
  const auto flush = [&] {
    if (met.size() > 1)
      for (Item& item : curve(plot, met, {Weight::medium})) out.push_back(std::move(item));
    met.clear();
  };
  Items lines;
  std::swap(lines, out);
  const auto& g = cutter.gaps;
  for (std::size_t i = 0; i < g.size(); ++i) {
    if (g[i].reached == shop::Reached::met) {
      met.emplace_back(to_deg(g[i].u), g[i].gap);
      continue;
    }
    flush();
    const double from = i == 0 ? 0 : to_deg(g[i].u + g[i - 1].u) / 2;
    const double to = i + 1 == g.size() ? 360 : to_deg(g[i].u + g[i + 1].u) / 2;
    Box b{plot.at(from, 0), plot.at(to, plot.y1)};
    Area area{.rings = {{b.min, {b.max.x(), b.min.y()}, b.max, {b.min.x(), b.max.y()}}}};
    area.fill = g[i].reached == shop::Reached::beside ? Area::Fill::tone : Area::Fill::hatch;
    area.tone = 0.2, area.spacing = 1.5;
    lines.emplace_back(area);
  }
  flush();
  std::swap(lines, out);
  for (Item& item : lines) out.push_back(std::move(item));
  for (Item& item : axis_left(plot, "gap, mm", 2)) out.push_back(std::move(item));
  const Vec2 corner = plot.at(0, 0);
  out.emplace_back(line(corner, plot.at(360, 0), {Weight::thin}));
  for (int u = 0; u <= 360; u += 45) {
    const Vec2 foot = plot.at(u, 0);
    out.emplace_back(line(foot, foot - Vec2(0, u % 90 == 0 ? 1.6 : 1), {Weight::thin}));
    if (u % 90 == 0) out.emplace_back(centred(foot - Vec2(0, 5), base::format_clock(base::to_rad(u))));
  }
  return out;
}

Items saw_picture(const shop::RoughCut& saw, bool upper, bool mirrored, const Box& box) {
  Items out;
  const double half = 9, sign = (mirrored ? -1 : 1) * (upper ? 1 : -1), up = upper ? 1 : -1;
  const Vec2 c(box.centre().x(), box.centre().y());
  // rise toward the joint at either flank of the tube, x from the axis
  const bool two = saw.planes.size() > 1;
  const double rise[] = {two ? std::tan(saw.planes[0].across) : std::tan(saw.planes[0].lean),
                         two ? std::tan(saw.planes[1].across) : -std::tan(saw.planes[0].lean)};
  for (std::size_t i = 0; i < 2; ++i) {
    const double x = (i == 0 ? 1 : -1) * sign;
    const Vec2 at = c + Vec2(x * half, up * rise[i] * half);
    // what stays is thick, what falls off dashed
    put_clipped(out, line({at.x(), upper ? box.min.y() : box.max.y()}, at, {Weight::thick}), box);
    put_clipped(out, line(at, {at.x(), upper ? box.max.y() : box.min.y()}, {Weight::thin, Dash::dashed}),
                box);
    // the saw goes on past the tube; in a notch it stops where the lines meet, else it goes right through
    const Vec2 dir = Vec2(x * half, up * rise[i] * half).normalized();
    const bool through = saw.shape == shop::RoughShape::roof;
    put_clipped(out, line(c - (through ? 12.0 : 0.0) * dir, c + 60 * dir, {Weight::medium}), box);
  }
  put_clipped(out, line(c - Vec2(half + 4, 0), c + Vec2(half + 8, 0), {Weight::thin, Dash::chain}), box);
  put_clipped(out, line({c.x(), box.min.y()}, {c.x(), box.max.y()}, {Weight::thin, Dash::chain}), box);
  return out;
}

Items tack_clock(const std::vector<double>& tacks, const Vec2& c, double radius) {
  Items out{circle(c, radius, {Weight::thick})};
  for (int u = 0; u < 360; u += 30) {
    // clock angles run clockwise, 0 at the top
    const double a = kPi / 2 - base::to_rad(u);
    const Vec2 d = base::unit_at(a);
    out.emplace_back(line(c + (radius - 1.5) * d, c + radius * d, {Weight::thin}));
  }
  int n = 0;
  for (const double u : tacks) {
    const Vec2 d = base::unit_at(kPi / 2 - u);
    Path dot = circle(c + radius * d, 1.3);
    dot.filled = true;
    out.emplace_back(std::move(dot));
    out.emplace_back(centred(c + (radius + 4) * d - Vec2(0, 1.75), std::to_string(++n), 3.5, true));
    const Vec2 in = c + (radius - 5.5) * d - Vec2(0, 1.25);
    out.emplace_back(centred(in, base::format_clock(u), 2.5));
  }
  return out;
}

}  // namespace halfround::drawing
