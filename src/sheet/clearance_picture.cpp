#include "sheet/clearance_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/number.h"
#include "drawing/contour.h"
#include "paper/clip.h"
#include "paper/draughting.h"
#include "sheet/check_tables.h"
#include "study/clearance_wheel.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::Vec3;

constexpr double kLetters = 2.5;
constexpr double kCell = 1.2;  // mm of the fork: chords of a 5 mm radius stay within 0.04 mm

/// The half plane through the axle and a place; true mm of the fork to mm of paper.
struct Cut {
  Vec3 axle, left, out;  // `out` from the axle toward the place
  Vec2 middle;           // what lies in the middle of the box: (along left, along out)
  double scale = 1;
  Vec2 centre;
  [[nodiscard]] Vec3 in_space(const Vec2& q) const { return axle + q.x() * left + q.y() * out; }
  [[nodiscard]] Vec2 in_plane(const Vec3& p) const { return {(p - axle).dot(left), (p - axle).dot(out)}; }
  [[nodiscard]] Vec2 on_paper(const Vec2& q) const { return centre + scale * (q - middle); }
};

/// How far a place lies outside a member between its ends, nearly a distance.
double outside(const shape::Tube& tube, const bike::Member& m, const Vec3& p) {
  const shape::Level l = shape::level(tube, p);
  return std::max({l.value, m.s_start - l.s, l.s - m.s_end});
}

std::vector<Vec2> on_paper(const Cut& cut, const std::vector<Vec2>& points) {
  std::vector<Vec2> out;
  for (const Vec2& q : points) out.push_back(cut.on_paper(q));
  return out;
}

/// Lines of a section as drawn, and its area closed along the window's edge.
struct Section {
  std::vector<Path> lines;
  std::vector<std::vector<Vec2>> rings;
};

Section section(const Cut& cut, const Box& window, const std::function<double(const Vec2&)>& f,
                const Stroke& stroke) {
  Section out;
  bool open = false;
  for (const drawing::Contour& c : drawing::contours(window, kCell, f)) {
    out.lines.push_back({.points = on_paper(cut, c.points), .closed = c.closed, .stroke = stroke});
    if (c.closed) out.rings.push_back(out.lines.back().points);
    open = open || !c.closed;
  }
  if (!open) return out;
  out.rings.clear();
  const Vec2 half = 0.5 * (window.max - window.min);
  const auto within = [&](const Vec2& q) {
    const Vec2 d = (q - window.centre()).cwiseAbs() - half + Vec2(kCell, kCell);
    return std::max({f(q), d.x(), d.y()});
  };
  for (const drawing::Contour& c : drawing::contours(window, kCell, within))
    out.rings.push_back(on_paper(cut, c.points));
  return out;
}

/// The wall hatched, its outlines.
void put_member(Group& g, const Cut& cut, const Box& window, const bike::Member& m, double angle) {
  const auto of = [&](const shape::Tube& tube, Weight weight) {
    return section(cut, window, [&](const Vec2& q) { return outside(tube, m, cut.in_space(q)); },
                   {.weight = weight});
  };
  Section skin = of(m.tube, Weight::thick);
  if (m.tube.profile.wall(0.5 * (m.s_start + m.s_end)) > 0) {
    Section bore = of(m.tube.inner(), Weight::thin);
    skin.lines.insert(skin.lines.end(), bore.lines.begin(), bore.lines.end());
    skin.rings.insert(skin.rings.end(), bore.rings.begin(), bore.rings.end());
  }
  if (!skin.rings.empty())
    g.items.emplace_back(Area{.rings = std::move(skin.rings), .spacing = 0.8, .angle = angle});
  for (Path& path : skin.lines) g.items.emplace_back(std::move(path));
}

void put_plate(Group& g, const Cut& cut, const bike::Plate& plate) {
  // where the outline passes the plane: in pairs, in, out
  const Vec3 square = cut.left.cross(cut.out);
  std::vector<Vec3> at;
  for (std::size_t i = 0; i < plate.outline.size(); ++i) {
    const Vec3 &p = plate.outline[i], &q = plate.outline[(i + 1) % plate.outline.size()];
    const double a = (p - cut.axle).dot(square), b = (q - cut.axle).dot(square);
    if ((a < 0) != (b < 0)) at.push_back(p + a / (a - b) * (q - p));
  }
  std::sort(at.begin(), at.end(),
            [&](const Vec3& a, const Vec3& b) { return a.dot(cut.out) < b.dot(cut.out); });
  const Vec3 half = 0.5 * plate.thickness * plate.normal;
  for (std::size_t i = 0; i + 1 < at.size(); i += 2) {
    std::vector<Vec2> ring;
    for (const Vec3& p :
         {Vec3(at[i] - half), Vec3(at[i + 1] - half), Vec3(at[i + 1] + half), Vec3(at[i] + half)})
      ring.push_back(cut.on_paper(cut.in_plane(p)));
    g.items.emplace_back(Area{.rings = {ring}, .spacing = 1.2});
    g.items.emplace_back(Path{.points = ring, .closed = true, .stroke = {.weight = Weight::thick}});
  }
}

void put_bodies(Group& g, const Cut& cut, const Box& window, const bike::Assembly& assembly,
                const study::Clearance& clearance, const study::ClearanceItem& item) {
  std::vector<std::string> unused;
  for (const study::WheelPart& part : study::wheel_parts(assembly, clearance.options, unused)) {
    const auto f = [&](const Vec2& q) { return part.body.distance(cut.in_space(q)).value; };
    Section body = section(cut, window, f, {.weight = Weight::medium});
    if (!body.rings.empty())
      g.items.emplace_back(Area{.rings = std::move(body.rings),
                                .fill = Area::Fill::tone,
                                .tone = part.part.kind == bike::PartKind::tyre ? 0.16 : 0.3});
    for (Path& path : body.lines) g.items.emplace_back(std::move(path));
    if (part.part != item.body || item.allowance <= 0) continue;
    for (const drawing::Contour& c :
         drawing::contours(window, kCell, [&](const Vec2& q) { return f(q) - item.allowance; }))
      g.items.emplace_back(Path{.points = on_paper(cut, c.points),
                                .closed = c.closed,
                                .stroke = {Weight::thin, Dash::dashed, Ink::graphite}});
  }
}

const study::ClearanceItem* tightest(const study::Clearance& c) {
  const auto it = std::find_if(c.items.begin(), c.items.end(), [](const study::ClearanceItem& i) {
    using bike::PartKind;
    const PartKind body = i.body.kind;
    return body == PartKind::tyre || body == PartKind::rim || body == PartKind::mudguard;
  });
  if (it != c.items.end()) return &*it;
  return c.items.empty() ? nullptr : &c.items.front();
}

/// The gap between the nearest points; its figure stands inside the body, where nothing else is.
void put_gap(Group& g, const Cut& cut, const Box& room, const study::ClearanceItem& item) {
  const Vec2 a = cut.on_paper(cut.in_plane(item.on_body)), b = cut.on_paper(cut.in_plane(item.on_member));
  g.items.emplace_back(line(a, b, {.weight = Weight::thick}));
  const Vec2 way = item.value > 0 ? Vec2((a - b).normalized()) : Vec2(0, -1);
  const Vec2 lift(std::abs(way.x()) < 0.5 ? 4 : 0, std::abs(way.y()) < 0.5 ? 4 : 0);
  const Vec2 to = (a + 9 * way + lift).cwiseMax(room.min + Vec2(12, 0)).cwiseMin(room.max - Vec2(12, 6));
  add(g, leader(0.5 * (a + b), to, format_number(item.value, 1), {.height = 3.5, .bold = true}));
}

}  // namespace

Group clearance_picture(const bike::Assembly& assembly, const study::Clearance& clearance, const Box& box) {
  Group g{.name = "clearance", .label = "section at the tightest place", .items = {}, .clip = {}};
  const study::ClearanceItem* item = tightest(clearance);
  if (!item) return g;
  const study::WheelFrame wheel = study::wheel_frame(assembly, clearance.options);
  Cut cut{.axle = wheel.axle, .left = wheel.left, .out = Vec3::UnitZ(), .middle = {}, .centre = {}};
  const Vec3 d = item->on_body - wheel.axle;
  cut.out = (d - d.dot(wheel.left) * wheel.left).normalized();
  // the whole width of the tyre and the member's section beside it
  const double half = 0.5 * assembly.tyre.profile.depth(0);
  const Vec2 place = cut.in_plane(0.5 * (item->on_body + item->on_member));
  const double out = std::copysign(std::max(half + 6, std::abs(place.x()) + 34), place.x());
  const double from = std::min(-std::copysign(half + 6, place.x()), out),
               to = std::max(-std::copysign(half + 6, place.x()), out);
  constexpr double kHead = 5, kFoot = 9;
  const Box room{box.min + Vec2(0, kFoot), box.max - Vec2(0, kHead)};
  cut.scale = std::min(room.width() / (to - from), 1.5);
  cut.middle = {0.5 * (from + to), place.y()};
  cut.centre = room.centre();
  const Vec2 reach = 0.5 / cut.scale * Vec2(room.width(), room.height());
  const Box window{cut.middle - reach, cut.middle + reach};
  put_bodies(g, cut, window, assembly, clearance, *item);
  double angle = base::kPi / 4;
  for (const bike::Member& m : assembly.members) {
    put_member(g, cut, window, m, angle);
    angle = base::kPi - angle;
  }
  for (const bike::Plate& p : assembly.plates) put_plate(g, cut, p);
  Items kept;
  for (const Item& one : g.items)
    for (Item& piece : clipped(one, room)) kept.push_back(std::move(piece));
  g.items = std::move(kept);
  put_gap(g, cut, room, *item);
  g.items.emplace_back(Text{.at = {box.min.x(), box.max.y() - kLetters},
                            .text = fmt::format("{} to {}: {} mm", bike::spoken(item->body),
                                                bike::spoken(item->member), format_number(item->value, 1)),
                            .height = kLetters,
                            .bold = true});
  g.items.emplace_back(
      Text{.at = box.min + Vec2(0, 5),
           .text = fmt::format("section through the axle, scale {}", format_number(cut.scale, 2)),
           .height = kLetters});
  if (item->allowance > 0)
    g.items.emplace_back(
        Text{.at = box.min + Vec2(0, 0.8),
             .text = fmt::format("dashed: what the road takes, {} mm", format_number(item->allowance, 1)),
             .height = kLetters});
  return g;
}

}  // namespace halfround::sheet
