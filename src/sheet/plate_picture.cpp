#include "sheet/plate_picture.h"

#include <algorithm>

#include "paper/clip.h"
#include "paper/draughting.h"

namespace halfround::sheet {
namespace {

drawing::View looking(Held held) {
  switch (held) {
    case Held::standing:
      return {base::Vec3(0, -1, 0), base::Vec3(0, 0, -1), base::Vec3(1, 0, 0), {0, 0}};
    case Held::lying:
      return {base::Vec3(0, 0, -1), base::Vec3(1, 0, 0), base::Vec3(0, -1, 0), {0, 0}};
    case Held::on_its_side:
      return {base::Vec3(0, 0, -1), base::Vec3(0, 1, 0), base::Vec3(1, 0, 0), {0, 0}};
  }
  throw base::Bug("a fork is held in one of three ways");
}

void put_plate(Group& g, const Box& box, double y) {
  g.items.emplace_back(line({box.min.x(), y}, {box.max.x(), y}, {Weight::thick}));
  const std::vector<Vec2> below{
      {box.min.x(), y - 3}, {box.max.x(), y - 3}, {box.max.x(), y}, {box.min.x(), y}};
  g.items.emplace_back(Area{.rings = {below}, .fill = Area::Fill::hatch, .spacing = 1.6});
}

/// A V-block under a level tube whose lower side is at `bottom`.
void put_block(Group& g, double x, double bottom, double plate) {
  const double half = 4;
  g.items.emplace_back(Path{
      .points = {{x - half, plate}, {x - half, bottom + 1.2}, {x + half, bottom + 1.2}, {x + half, plate}},
      .closed = true,
      .stroke = {Weight::medium}});
}

/// A measure along `way` with its mark.
void put_mark(Group& g, const Vec2& from, const Vec2& to, const Vec2& way, double offset, const char* mark) {
  add(g, dimension_along(from, to, way, offset, mark, {.height = 3.5, .arrow = 2.2, .bold = true}));
}

}  // namespace

Group plate_picture(const drawing::Drawing& d, Held held, const Box& box) {
  const char* names[] = {"steerer upright, fork ends up", "steerer level, offset up",
                         "on its side, left end up"};
  Group g{.name = "plate", .label = names[static_cast<std::size_t>(held)], .items = {}, .clip = {}};
  drawing::View view = looking(held);
  Group parts = drawing::parts_group(d, view, "", "", false);
  const Box whole = *bounds_of(parts.items);
  // room for the marks beside it and for the plate with its blocks below
  const double aside = 12, low = held == Held::standing ? 5 : 13, over = 9;
  const double k =
      std::min((box.width() - 2 * aside) / whole.width(), (box.height() - low - over) / whole.height());
  const Vec2 foot(box.centre().x() - k * whole.centre().x(), box.min.y() + low - k * whole.min.y());
  view.right *= k, view.up *= k, view.origin = foot;
  parts = drawing::parts_group(d, view, "", "", false);
  for (Item& item : parts.items) {
    // pens for a small picture
    if (auto* path = std::get_if<Path>(&item))
      if (path->stroke.weight == Weight::thick) path->stroke.weight = Weight::medium;
    g.items.push_back(std::move(item));
  }
  const double plate = box.min.y() + 3;
  put_plate(g, box, plate);
  const double half = d.job.hub.over_locknut.value / 2;
  const base::Vec3 axle = d.axle(), seat = base::Vec3::Zero();
  const Vec2 left = view(axle + base::Vec3(0, half, 0)), right = view(axle - base::Vec3(0, half, 0)),
             s = view(seat);
  g.items.emplace_back(line(left, right, {Weight::thin, Dash::chain}));
  const Vec2 head = view(base::Vec3(0, 0, d.top_z)),
             toe = view(base::Vec3(0, 0, -d.a.intent.steerer.below_seat));
  const double radius = k * d.job.steerer.diameter.value / 2;
  const Vec2 x(1, 0), y(0, 1);
  if (held == Held::standing) {
    // the angle plate behind the steerer, then heights above the seat
    g.items.emplace_back(
        line({s.x() - radius - 3, plate}, {s.x() - radius - 3, s.y() - 3}, {Weight::medium}));
    g.items.emplace_back(
        line({s.x() + radius + 3, plate}, {s.x() + radius + 3, s.y() - 3}, {Weight::medium}));
    put_mark(
        g, Vec2(s.x() + radius, s.y()), left, y,
        left.x() > s.x() ? -(std::abs(left.x() - s.x()) + 8) : std::abs(left.x() - s.x()) + 8 + 2 * radius,
        "A");
    put_mark(g, Vec2(s.x() - radius, s.y()), right, y,
             right.x() > s.x() ? -(std::abs(right.x() - s.x()) + 8) : std::abs(right.x() - s.x()) + 8, "B");
    const shape::Gap &gl = d.a.fork.left.clearance, &gr = d.a.fork.right.clearance;
    const Vec2 a = view(gl.on_tube), b = view(base::Vec3(gr.on_tube.x(), -gr.on_tube.y(), gr.on_tube.z()));
    put_mark(g, {std::min(a.x(), b.x()), a.y()}, {std::max(a.x(), b.x()), a.y()}, x, 0, "C");
    return g;
  }
  g.items.emplace_back(line({std::min(head.x(), toe.x()) - 4, s.y()},
                            {std::max(left.x(), right.x()) + 6, s.y()}, {Weight::thin, Dash::chain}));
  for (const double share : {0.18, 0.62})
    put_block(g, head.x() + share * (s.x() - head.x()), s.y() - radius, plate);
  const Vec2 axis(left.x(), s.y());
  if (held == Held::lying) {
    put_mark(g, axis, left, y, -7, "D, E");
  } else {
    put_mark(g, axis, left, y, -7, "F");
    put_mark(g, axis, right, y, -7, "G");
    // a straight edge along the face: how far the other one stands from parallel
    const double edge = k * 16;
    g.items.emplace_back(line(left - Vec2(edge, 0), left + Vec2(edge, 0), {Weight::medium}));
    g.items.emplace_back(line(right - Vec2(edge, 0), right + Vec2(edge, 0), {Weight::medium}));
    g.items.emplace_back(Text{.at = left + Vec2(-edge - 5, -1.7), .text = "H", .height = 3.5, .bold = true});
  }
  return g;
}

}  // namespace halfround::sheet
