#include "paper/draughting.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/result.h"

namespace halfround::paper {
namespace {

using base::kPi;

Vec2 left_of(const Vec2& v) {
  return {-v.y(), v.x()};
}

Stroke thin(Ink ink, Dash dash = Dash::solid) {
  return {Weight::thin, dash, ink};
}

// text above a line through `at` along `direction`
Text above(const Vec2& at, const Vec2& direction, const std::string& text, const DimensionStyle& style,
           Anchor anchor = Anchor::centre) {
  const double turn = readable_turn(direction);
  const Vec2 up(-std::sin(turn), std::cos(turn));
  return {.at = at + style.gap * up,
          .text = text,
          .height = style.height,
          .turn = turn,
          .anchor = anchor,
          .ink = style.ink,
          .bold = style.bold,
          .italic = style.italic,
          .backed = true,
          .key = style.key};
}

double width_of_text(const std::string& text, const DimensionStyle& style) {
  return text_width(text, style.height, style.bold, style.italic);
}

// extension line from a feature to (and beyond) the dimension line; none where the feature lies on it
void extend(Items& out, const Vec2& feature, const Vec2& on_line, const DimensionStyle& style) {
  const Vec2 way = on_line - feature;
  const double length = way.norm();
  if (length <= style.gap) return;
  const Vec2 step = way / length;
  out.emplace_back(line(feature + style.gap * step, on_line + style.beyond * step, thin(style.ink)));
}

// the dimension line between two points with its arrows and text
void measure(Items& out, const Vec2& p, const Vec2& q, const Vec2& along, const std::string& text,
             const DimensionStyle& style) {
  const double span = (q - p).norm();
  const double wide = width_of_text(text, style);
  const bool arrows_inside = span >= 2 * style.arrow + 1.5;
  const bool text_inside = wide + 1 <= span;
  const double tail = 2 * style.arrow;
  const Vec2 from = arrows_inside ? p : Vec2(p - tail * along);
  Vec2 to = arrows_inside ? q : Vec2(q + tail * along);
  Vec2 text_at = 0.5 * (p + q);
  if (!text_inside) {
    const double start = arrows_inside ? style.beyond : style.arrow + 0.5;
    text_at = q + (start + wide / 2) * along;
    to = q + (start + wide) * along;
  }
  out.emplace_back(above(text_at, along, text, style));
  out.emplace_back(line(from, to, thin(style.ink)));
  const double sign = arrows_inside ? 1 : -1;
  out.emplace_back(arrow_head(p, -sign * along, style.arrow, style.ink));
  out.emplace_back(arrow_head(q, sign * along, style.arrow, style.ink));
}

}  // namespace

void add(Group& group, Items items) {
  std::move(items.begin(), items.end(), std::back_inserter(group.items));
}

std::vector<Vec2> arc_points(const Vec2& centre, double radius, double a0, double a1) {
  // sagitta r (1 - cos(step / 2)) <= kChordError [derived]
  const double ratio = std::clamp(1 - kChordError / std::max(std::abs(radius), kChordError), 0.0, 1.0);
  const double step = std::min(2 * std::acos(ratio), kPi / 4);
  const int pieces = std::clamp(static_cast<int>(std::ceil(std::abs(a1 - a0) / step)), 1, 20000);
  std::vector<Vec2> points;
  points.reserve(static_cast<std::size_t>(pieces) + 1);
  for (int i = 0; i <= pieces; ++i)
    points.push_back(centre + radius * base::unit_at(i == pieces ? a1 : a0 + (a1 - a0) * i / pieces));
  return points;
}

Path circle(const Vec2& centre, double radius, const Stroke& stroke) {
  std::vector<Vec2> points = arc_points(centre, radius, 0, 2 * kPi);
  points.pop_back();
  return {.points = std::move(points), .closed = true, .stroke = stroke};
}

Path arc(const Vec2& centre, double radius, double a0, double a1, const Stroke& stroke) {
  return {.points = arc_points(centre, radius, a0, a1), .stroke = stroke};
}

Path line(const Vec2& from, const Vec2& to, const Stroke& stroke) {
  return {.points = {from, to}, .stroke = stroke};
}

Path rectangle(const Box& box, const Stroke& stroke) {
  return {.points = {box.min, {box.max.x(), box.min.y()}, box.max, {box.min.x(), box.max.y()}},
          .closed = true,
          .stroke = stroke};
}

double length_of(const Path& path) {
  double length = 0;
  for (std::size_t i = 1; i < path.points.size(); ++i) length += (path.points[i] - path.points[i - 1]).norm();
  if (path.closed && path.points.size() > 1) length += (path.points.front() - path.points.back()).norm();
  return length;
}

double readable_turn(const Vec2& direction) {
  double turn = std::atan2(direction.y(), direction.x());
  constexpr double kSlack = 1e-6;  // rounding must not turn an upright text over
  if (turn > kPi / 2 + kSlack) turn -= kPi;
  if (turn <= -kPi / 2 + kSlack) turn += kPi;
  return turn;
}

Path arrow_head(const Vec2& tip, const Vec2& direction, double length, Ink ink) {
  base::check(direction.norm() > 0, "an arrow head needs a direction");
  const Vec2 back = -direction.normalized() * length;
  const Vec2 side = left_of(back) * std::tan(kPi / 24);  // half of 15°
  return {.points = {tip, tip + back + side, tip + back - side},
          .closed = true,
          .stroke = thin(ink),
          .filled = true};
}

Items dimension_along(const Vec2& p, const Vec2& q, const Vec2& along, double offset, const std::string& text,
                      const DimensionStyle& style) {
  Items out;
  if (along.norm() < 1e-12) return out;
  Vec2 unit = along.normalized();
  const Vec2 across = left_of(unit);
  double run = (q - p).dot(unit);
  const Vec2 line_p = p + offset * across;
  const Vec2 line_q = line_p + run * unit;
  extend(out, p, line_p, style);
  extend(out, q, line_q, style);
  if (run < 0) unit = -unit;
  measure(out, line_p, line_q, unit, text, style);
  return out;
}

Items dimension_linear(const Vec2& p, const Vec2& q, double offset, const std::string& text,
                       const DimensionStyle& style) {
  const Vec2 along = q - p;
  return dimension_along(p, q, along.norm() > 1e-9 ? along : Vec2(Vec2::UnitX()), offset, text, style);
}

Items dimension_angle(const Vec2& centre, double a0, double a1, double radius, const std::string& text,
                      const DimensionStyle& style) {
  Items out;
  if (!(radius > 0)) return out;
  if (a1 < a0) std::swap(a0, a1);
  const double span = (a1 - a0) * radius;
  const bool arrows_inside = span >= 2 * style.arrow + 1.5;
  const double tail = arrows_inside ? 0 : 2 * style.arrow / radius;
  // the text stands in the middle of the arc, on its outer side; beyond a1 where the arc is too short
  const double wide = width_of_text(text, style);
  const bool text_inside = wide + 1 <= span;
  const double start = text_inside ? 0 : (arrows_inside ? style.beyond : style.arrow + 0.5) / radius;
  const double text_angle = text_inside ? 0.5 * (a0 + a1) : a1 + start + 0.5 * wide / radius;
  const double last = text_inside ? a1 + tail : a1 + start + wide / radius;

  const Vec2 tangent = left_of(base::unit_at(text_angle));
  Text label = above(centre + radius * base::unit_at(text_angle), tangent, text, style);
  // a straight text over a bulging arc is lifted by the arc's sagitta
  const double lift = std::min(wide * wide / (8 * radius), style.height);
  const Vec2 up(-std::sin(label.turn), std::cos(label.turn));
  if (up.dot(base::unit_at(text_angle)) < 0) label.at += lift * up;
  out.emplace_back(label);
  out.emplace_back(arc(centre, radius, a0 - tail, last, thin(style.ink)));

  // an arrow head lies on its chord, else it leaves the arc
  const double half = 0.5 * style.arrow / radius * (arrows_inside ? 1 : -1);
  const double sign = arrows_inside ? 1 : -1;
  out.emplace_back(arrow_head(centre + radius * base::unit_at(a0), -sign * left_of(base::unit_at(a0 + half)),
                              style.arrow, style.ink));
  out.emplace_back(arrow_head(centre + radius * base::unit_at(a1), sign * left_of(base::unit_at(a1 - half)),
                              style.arrow, style.ink));
  return out;
}

Items leader(const Vec2& at, const Vec2& to, const std::string& text, const DimensionStyle& style) {
  Items out;
  const double way = to.x() >= at.x() ? 1 : -1;
  const double wide = width_of_text(text, style);
  const Vec2 end = to + Vec2(way * (wide + 1), 0);
  out.emplace_back(above(to + Vec2(way * (wide / 2 + 0.5), 0), Vec2::UnitX(), text, style));
  Path path{.points = {at, to, end}, .stroke = thin(style.ink)};
  out.emplace_back(std::move(path));
  if ((at - to).norm() > 1e-9) out.emplace_back(arrow_head(at, at - to, style.arrow, style.ink));
  return out;
}

Items dimension_radius(const Vec2& centre, double radius, double at, const std::string& text, double reach,
                       const DimensionStyle& style) {
  const Vec2 out = base::unit_at(at);
  return leader(centre + radius * out, centre + (radius + reach) * out, text, style);
}

Items centre_mark(const Vec2& centre, double radius, Ink ink) {
  const double reach = std::abs(radius) + 2;
  // short marks are solid: a chain line needs 20 mm to show its pattern
  const Stroke stroke = thin(ink, reach < 10 ? Dash::solid : Dash::chain);
  return {line(centre - Vec2(reach, 0), centre + Vec2(reach, 0), stroke),
          line(centre - Vec2(0, reach), centre + Vec2(0, reach), stroke)};
}

}  // namespace halfround::paper
