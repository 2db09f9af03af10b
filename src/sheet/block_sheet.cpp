// The drawing of a machined axle block: side and edge, to scale, with all that is bored in it. Frame P, mm.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "layout/lower_end.h"
#include "paper/bound_sheet.h"
#include "paper/draughting.h"
#include "sheet/shop_sheets.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::Vec3;
using bike::Bore;
using bike::Plate;

const DimensionStyle kStyle{.height = 3.5, .arrow = 3};

std::string mm(double v, int decimals = 1) {
  return format_number(v, decimals);
}

/// What is drawn of one block, in its own frame (bike/plate.h): x rearward, y up the blade, z to the left.
struct AxleBlock {
  const Plate* plate;
  const Bore *axle, *socket;
  Box side{};  // of its outline
  [[nodiscard]] bool left() const { return plate->part.side == bike::Side::left; }
  [[nodiscard]] Vec3 mouth() const { return *socket->mouth; }
  /// Half of the top's width, its broken corners counted.
  [[nodiscard]] double half_top() const {
    double half = 0;
    for (const bike::Corner& c : plate->corners)
      if (c.at.y() > side.max.y() - layout::kBlockCorner - 1e-6)
        half = std::max(half, std::abs(c.at.x() - mouth().x()));
    return half;
  }
  [[nodiscard]] Vec3 bottom() const { return mouth() + socket->depth * socket->axis; }
  /// Out of the plane of the block, going down; > 0 away from the wheel.
  [[nodiscard]] double lean() const { return std::asin(socket->axis.z()) * (left() ? 1 : -1); }
  /// From the hub's face, at a place of the frame.
  [[nodiscard]] double from_hub(double z) const { return plate->thickness / 2 + (left() ? z : -z); }
};

std::vector<AxleBlock> blocks_of(const solve::Answer& answer) {
  std::vector<AxleBlock> out;
  for (const Plate& p : answer.fork.assembly.plates) {
    const auto into_edge = std::ranges::find_if(p.bores, [](const Bore& b) { return b.mouth.has_value(); });
    const Bore* axle = bike::find_bore(p, bike::part(bike::PartKind::axle));
    if (into_edge == p.bores.end() || axle == nullptr) continue;
    if (answer.fork.mirrored && !out.empty()) break;
    AxleBlock b{&p, axle, &*into_edge};
    const auto points = bike::sampled(p.corners, kChordError);
    b.side = {points.front(), points.front()};
    for (const Vec2& q : points) b.side.min = b.side.min.cwiseMin(q), b.side.max = b.side.max.cwiseMax(q);
    out.push_back(b);
  }
  return out;
}

/// Both walls and the bottom of a socket as seen, dashed, and its middle line.
void put_socket(Group& g, const Vec2& mouth, const Vec2& bottom, double radius) {
  const Vec2 way = (bottom - mouth).normalized(), aside(-way.y(), way.x());
  const Stroke hidden{Weight::thin, Dash::dashed};
  const Vec2 r = radius * aside;
  g.items.emplace_back(line(mouth + r, bottom + r, hidden));
  g.items.emplace_back(line(bottom + r, bottom - r, hidden));
  g.items.emplace_back(line(bottom - r, mouth - r, hidden));
  g.items.emplace_back(line(mouth - 6 * way, bottom + 6 * way, {Weight::thin, Dash::chain}));
}

/// From the rider's left: outline, axle's bore, socket.
void put_side(Group& g, const AxleBlock& b, const Vec2& axle, double s) {
  std::vector<Vec2> outline;
  for (const Vec2& p : bike::sampled(b.plate->corners, kChordError / s)) outline.push_back(axle + s * p);
  g.items.emplace_back(Path{.points = outline, .closed = true, .stroke = {Weight::thick}});
  const double r = s * b.axle->diameter / 2;
  g.items.emplace_back(circle(axle, r, {Weight::thick}));
  add(g, centre_mark(axle, r + 3));
  put_socket(g, axle + s * b.mouth().head<2>(), axle + s * b.bottom().head<2>(), s * b.socket->diameter / 2);
}

/// From ahead: the edge, the axle's bore and the leaning socket, both dashed.
void put_edge(Group& g, const AxleBlock& b, const Vec2& axle, double s) {
  const double half = s * b.plate->thickness / 2, r = s * b.axle->diameter / 2;
  g.items.emplace_back(rectangle(
      {axle + Vec2(-half, s * b.side.min.y()), axle + Vec2(half, s * b.side.max.y())}, {Weight::thick}));
  for (const double side : {-r, r})
    g.items.emplace_back(
        line(axle + Vec2(-half, side), axle + Vec2(half, side), {Weight::thin, Dash::dashed}));
  g.items.emplace_back(line(axle - Vec2(half + 6, 0), axle + Vec2(half + 6, 0), {Weight::thin, Dash::chain}));
  const auto on = [&](const Vec3& p) { return Vec2(axle + s * Vec2(p.z(), p.y())); };
  put_socket(g, on(b.mouth()), on(b.bottom()), s * b.socket->diameter / 2);
}

void dimension_side(Group& g, const AxleBlock& b, const Vec2& axle, double s) {
  const auto on = [&](double x, double y) { return Vec2(axle + s * Vec2(x, y)); };
  const Box& o = b.side;
  const Vec3 mouth = b.mouth(), bottom = b.bottom();
  const double out = s * -o.min.x() + 12;
  add(g, dimension_along(on(0, 0), on(bottom.x(), bottom.y()), {0, 1}, out, mm(bottom.y(), 2), kStyle));
  add(g, dimension_along(on(0, 0), on(mouth.x(), mouth.y()), {0, 1}, out + 11, mm(mouth.y(), 2), kStyle));
  add(g, dimension_along(on(0, o.min.y()), on(0, o.max.y()), {0, 1}, out + 22, mm(o.max.y() - o.min.y()),
                         kStyle));
  add(g, dimension_along(on(o.min.x(), 0), on(o.max.x(), 0), {1, 0}, s * o.min.y() - 12,
                         mm(o.max.x() - o.min.x()), kStyle));
  const double half = b.socket->diameter / 2;
  add(g, dimension_along(on(mouth.x() - half, o.max.y()), on(mouth.x() + half, o.max.y()), {1, 0}, 12,
                         "ø" + mm(b.socket->diameter, 2), kStyle));
  if (std::abs(mouth.x()) > 0.005)
    add(g, dimension_along(on(0, o.max.y()), on(mouth.x(), o.max.y()), {1, 0}, 23, mm(std::abs(mouth.x()), 2),
                           kStyle));
  const double wide = b.half_top();
  add(g, dimension_along(on(mouth.x() - wide, o.max.y() - layout::kBlockCorner),
                         on(mouth.x() + wide, o.max.y() - layout::kBlockCorner), {1, 0},
                         34 + s * layout::kBlockCorner, mm(2 * wide), kStyle));
  add(g, leader(on(0, 0) + s * -o.min.y() * Vec2(-0.71, -0.71), on(o.min.x(), o.min.y()) + Vec2(-6, -4),
                "R" + mm(-o.min.y()), kStyle));
  add(g, leader(on(0, 0) + s * b.axle->diameter / 2 * Vec2(0.71, -0.71),
                on(o.max.x(), o.min.y()) + Vec2(5, 4), "ø" + mm(b.axle->diameter, 2), kStyle));
}

void dimension_edge(Group& g, const AxleBlock& b, const Vec2& axle, double s) {
  const auto on = [&](double z, double y) { return Vec2(axle + s * Vec2(z, y)); };
  const double half = b.plate->thickness / 2, hub = b.left() ? -half : half;
  add(g, dimension_along(on(-half, b.side.min.y()), on(half, b.side.min.y()), {1, 0}, -12,
                         mm(b.plate->thickness, 2), kStyle));
  const Vec3 mouth = b.mouth();
  add(g, dimension_along(on(hub, b.side.max.y()), on(mouth.z(), b.side.max.y()), {1, 0}, 12,
                         mm(b.from_hub(mouth.z()), 2), kStyle));
  const Vec2 deep = on(half, b.bottom().y());
  add(g, leader(0.5 * (on(mouth.z(), mouth.y()) + on(b.bottom().z(), b.bottom().y())), deep + Vec2(14, 8),
                mm(b.socket->depth, 2) + " deep", kStyle));
  if (std::abs(b.lean()) > base::to_rad(0.005))
    add(g, leader(on(b.bottom().z(), b.bottom().y()), deep + Vec2(14, -8),
                  "leans " + mm(base::to_deg(std::abs(b.lean())), 2) + "°", kStyle));
  const Vec2 face = on(hub, 0.5 * (b.side.min.y() - b.axle->diameter / 2));
  add(g, leader(face, face + Vec2(b.left() ? -7 : 7, -s * 8), "hub's face", kStyle));
}

std::vector<std::string> notes_of(const AxleBlock& b, bool mirrored) {
  const Box& o = b.side;
  std::vector<std::string> out;
  out.push_back(fmt::format("From bar of at least {} × {} × {} mm. {}", mm(b.plate->thickness),
                            mm(o.max.x() - o.min.x()), mm(o.max.y() - o.min.y()),
                            mirrored ? "Drawn is the left one; the right one is its mirror image: bore both "
                                       "before either is turned in the vice."
                                     : "One piece."));
  out.push_back(
      "First mill both faces parallel and bore for the axle square to them; all else is measured "
      "from that bore and from the hub's face.");
  const double lean = base::to_deg(b.lean());
  if (std::abs(lean) > 0.005)
    out.push_back(fmt::format(
        "Then tilt the block {}° in the vice, so that the socket goes {} going down, and bore it ø{} to {} "
        "mm "
        "deep, flat at the bottom: the blade's square end stands there. Depth is along the socket.",
        mm(std::abs(lean), 2), lean > 0 ? "away from the wheel" : "toward the wheel",
        mm(b.socket->diameter, 2), mm(b.socket->depth, 2)));
  out.push_back(
      fmt::format("The socket leaves {} mm of air a side for the filler. Turn it to the blade that goes "
                  "in, measured; an oval blade end needs it filed or bored wider.",
                  mm(layout::kBlockAir, 2)));
  out.push_back(
      "Upper corners R2; break all other edges 0.5. The axle's bore may close with heat: ream it, or tap it, "
      "after brazing.");
  out.push_back("The socket shuts the blade's end: vent the blade before anything is heated.");
  return out;
}

}  // namespace

Sheet block_sheet(const solve::Answer& answer, Paper paper, const TitleBlock& title) {
  BoundSheet sheet(paper, "axle-block", "axle block");
  std::string scale;
  for (const AxleBlock& b : blocks_of(answer)) {
    sheet.turn();
    const Box& box = sheet.box();
    const double wide = b.side.width() + b.plate->thickness, high = b.side.height();
    const double s = 2 * wide <= box.width() - 95 && 2 * high <= 130 ? 2 : 1;
    scale = base::say("{:.0f}:1", s);
    const std::string name = answer.fork.mirrored ? "Axle block, left and right"
                             : b.left()           ? "Axle block, left"
                                                  : "Axle block, right";
    sheet.put(
        "headings", name,
        paragraph({box.min.x(), sheet.y()}, box.width(), name, {.height = 5, .leading = 1.4, .bold = true}));
    sheet.put("scale", "scale",
              paragraph({box.min.x(), sheet.y() - 1}, box.width(),
                        "scale " + scale + "; at the left from the rider's left, at the right from ahead",
                        {.height = 3.5}));
    const double y = sheet.y() - 43 - s * b.side.max.y();
    const Vec2 side(box.min.x() + 42 - s * b.side.min.x(), y);
    const Vec2 edge(side.x() + s * b.side.max.x() + 40 + s * b.plate->thickness / 2, y);
    Group g{.name = "outline", .label = name, .items = {}, .clip = {}};
    put_side(g, b, side, s), put_edge(g, b, edge, s);
    sheet.put(std::move(g));
    Group d{.name = "dimensions", .label = "dimensions", .items = {}, .clip = {}};
    dimension_side(d, b, side, s), dimension_edge(d, b, edge, s);
    sheet.put(std::move(d));
    Block list{.items = {}, .bottom = y + s * b.side.min.y() - 26};
    int n = 0;
    for (const std::string& note : notes_of(b, answer.fork.mirrored))
      add_to(list, marked_paragraph({box.min.x(), list.bottom - 1}, box.width(), std::to_string(++n), 7, note,
                                    {.height = 3.2, .leading = 1.5}));
    sheet.put("notes", "notes", std::move(list));
  }
  return std::move(sheet).finished(title, scale);
}

}  // namespace halfround::sheet
