#include "drawing/template_drawing.h"

#include <algorithm>
#include <cmath>

#include "paper/clip.h"
#include "paper/draughting.h"
#include "paper/pen.h"
#include "paper/typeface.h"

namespace halfround::drawing {

namespace {

using base::kPi;
using base::Vec3;

constexpr double kTickText = kLeastLetter;  // mm, cap height of the clock's figures
constexpr double kNameRow = 5.6;            // mm above the scribe line: forward, rearward, inside
constexpr double kRow = 3.2;                // mm from a row of names to the next
constexpr double kNames = kLeastLetter;     // mm, cap height of the names on the paper
constexpr double kApart = 0.8;              // mm between two words of a row

double within_half_turn(double u) {
  return u - 2 * kPi * std::floor((u + kPi) / (2 * kPi));
}

}  // namespace

Rib rib_at(const study::Mitre& m, double u, bool left_seam) {
  const shape::Unrolled& t = m.template_;
  const std::size_t n = t.u.size();
  if (std::abs(std::abs(u) - kPi) < 1e-9) {
    const std::size_t i = left_seam ? 0 : n - 1;
    return {t.ring[i], t.edge[i]};
  }
  const double turn = m.paper_turn;
  for (std::size_t i = 1; i < n; ++i) {
    const double a = turn * t.u[i - 1], b = turn * t.u[i], at = turn * u;
    if (at > b + 1e-12 || b - a <= 0) continue;
    const double share = std::clamp((at - a) / (b - a), 0.0, 1.0);
    return {t.ring[i - 1] + share * (t.ring[i] - t.ring[i - 1]),
            t.edge[i - 1] + share * (t.edge[i] - t.edge[i - 1])};
  }
  return {t.ring.back(), t.edge.back()};
}

namespace {

Text word(const Vec2& at, const std::string& text, double height, Anchor anchor = Anchor::centre) {
  return {.at = at, .text = text, .height = height, .anchor = anchor};
}

/// The cut as solid stretches where it meets the target and dashed ones where it passes beside it.
void draw_cut(Group& group, const shape::Unrolled& t) {
  Path path{.points = {}, .stroke = {Weight::thick, Dash::solid, Ink::graphite}};
  for (std::size_t i = 0; i < t.edge.size(); ++i) {
    const bool dashed = i > 0 && !(t.met[i - 1] && t.met[i]);
    const Dash dash = dashed ? Dash::dashed : Dash::solid;
    if (i > 0 && dash != path.stroke.dash) {
      if (path.points.size() > 1) group.items.emplace_back(path);
      path = {.points = {t.edge[i - 1]}, .stroke = {Weight::thick, dash, Ink::graphite}};
    }
    path.points.push_back(t.edge[i]);
  }
  group.items.emplace_back(path);
}

/// A strip beyond the seam at the right, its corners taken off.
void draw_flap(Group& group, const shape::Unrolled& t) {
  const Vec2 foot = t.ring.back(), top = t.edge.back(), along = (top - foot).normalized();
  const Vec2 out(along.y(), -along.x());
  const double corner = std::min(2.0, 0.2 * (top - foot).norm());
  const std::vector<Vec2> ring{foot, foot + kGlueFlap * out + corner * along,
                               top + kGlueFlap * out - corner * along, top};
  group.items.emplace_back(Area{.rings = {ring}, .fill = Area::Fill::tone, .tone = 0.1});
  group.items.emplace_back(Area{.rings = {ring}, .spacing = 2.5, .ink = Ink::faint});
  group.items.emplace_back(Path{.points = ring, .stroke = {Weight::thin}});
  Text glue = word(foot + (kGlueFlap + 1.5) * out + (0.5 * (top - foot).norm() - 0.9) * along, "glue under",
                   kNames, Anchor::left);
  group.items.emplace_back(glue);
}

Group draw_lines(const study::Mitre& m, const std::string& label) {
  Group group{.name = "template", .label = label, .items = {}, .clip = {}};
  const shape::Unrolled& t = m.template_;
  draw_flap(group, t);
  group.items.emplace_back(line(t.ring.front(), t.edge.front(), {Weight::medium}));
  group.items.emplace_back(line(t.ring.back(), t.edge.back(), {Weight::thin, Dash::dashed, Ink::graphite}));
  const Rib mark = rib_at(m, 0);
  group.items.emplace_back(Path{.points = t.ring, .stroke = {Weight::medium, Dash::solid, Ink::hand}});
  group.items.emplace_back(line(mark.foot, mark.edge, {Weight::medium, Dash::solid, Ink::hand}));
  draw_cut(group, t);
  return group;
}

/// Degrees from figure to figure, so that they keep apart on the paper of a thin tube.
int figure_step(const study::Mitre& m) {
  const double round = m.template_.ring.back().x() - m.template_.ring.front().x();
  for (const int step : {30, 45, 60, 90})
    if (round * step / 360 >= text_width("330", kTickText) + kApart) return step;
  return 180;
}

constexpr double kFigureFoot = 2.7;  // mm, a clock figure over the scribe line

/// A clock figure reaches above `y` somewhere between two abscissas. The scribe line of a taper or a bend is
/// no straight line on the paper, so a neighbour's figure may stand higher than the name beside it.
bool figure_above(const study::Mitre& m, double from, double to, double y) {
  const int step = figure_step(m);
  for (int deg = step - 180; deg < 180; deg += step) {
    const Rib rib = rib_at(m, base::to_rad(deg));
    const Vec2 at = rib.foot + kFigureFoot * rib.along();
    const double half = 0.5 * text_width(std::to_string((deg + 360) % 360), kTickText) + kApart;
    if (from < at.x() + half && to > at.x() - half && y < at.y() + kTickText + kApart) return true;
  }
  return false;
}

/// Ticks every 15°, figures and a thin generator every 30°, on a thin tube fewer.
Group draw_clock(const study::Mitre& m) {
  Group group{.name = "clock", .label = "clock angles along the scribe line", .items = {}, .clip = {}};
  Items figures;
  const int step = figure_step(m);
  for (int deg = -180; deg <= 180; deg += 15) {
    const Rib rib = rib_at(m, base::to_rad(deg), deg * m.paper_turn < 0);
    const bool seam = std::abs(deg) == 180, numbered = deg % step == 0;
    if (deg != 0 && !seam && numbered)
      group.items.emplace_back(line(rib.foot, rib.edge, {Weight::thin, Dash::solid, Ink::faint}));
    group.items.emplace_back(line(rib.foot, rib.foot + (numbered ? 2.0 : 1.2) * rib.along(),
                                  {Weight::thin, Dash::solid, Ink::graphite}));
    if (!numbered) continue;
    const bool left = seam && deg * m.paper_turn < 0;
    Text figure = word(rib.foot + kFigureFoot * rib.along(), std::to_string((deg + 360) % 360), kTickText,
                       !seam  ? Anchor::centre
                       : left ? Anchor::right
                              : Anchor::left);
    if (seam)
      figure.at.x() += left ? -0.8 : 0.8;  // outside the seam: inside they would stand on their neighbours
    figure.backed = true;
    figures.emplace_back(figure);
  }
  add(group, std::move(figures));
  return group;
}

/// Which way a direction of the fork lies round the member at the scribe line.
double clock_of(const bike::Member& member, double s, const Vec3& direction) {
  const shape::Frame f = member.tube.centreline.at(s);
  return within_half_turn(std::atan2(direction.dot(f.b), direction.dot(f.m)));
}

/// "forward", "rearward", "inside" on the paper itself, each at its own clock angle; a name that would run
/// into another one goes a row up. Gives the first row that is free above them, mm over the scribe line.
double name_sides(Group& group, const study::Mitre& m, const bike::Member& member) {
  std::vector<std::vector<std::pair<double, double>>> rows;  // what is taken of each row, left to right
  const auto row_for = [&](double from, double to, double low) {
    for (std::size_t i = 0;; ++i) {
      if (i == rows.size()) rows.emplace_back();
      const bool taken = std::ranges::any_of(
          rows[i], [&](const auto& r) { return from < r.second + kApart && to > r.first - kApart; });
      if (taken || figure_above(m, from, to, low + kRow * static_cast<double>(i))) continue;
      rows[i].emplace_back(from, to);
      return static_cast<double>(i);
    }
  };
  const auto name = [&](double u, const std::string& text, bool bold) {
    const bool seam = std::abs(u) > base::to_rad(165);
    const double wide = text_width(text, kNames, bold);
    for (const bool left : {true, false}) {
      const Rib rib = seam ? rib_at(m, kPi, left) : rib_at(m, u);
      const double x = rib.foot.x() + (!seam ? -0.5 * wide : left ? 0.9 : -0.9 - wide);
      const double row = row_for(x, x + wide, rib.foot.y() + kNameRow);
      Text t = word(rib.foot + (kNameRow + row * kRow) * rib.along(), text, kNames,
                    !seam  ? Anchor::centre
                    : left ? Anchor::left
                           : Anchor::right);
      if (seam) t.at.x() += left ? 0.9 : -0.9;
      t.bold = bold, t.backed = true;
      group.items.emplace_back(t);
      if (!seam) break;
    }
  };
  const double forward = clock_of(member, m.s_scribe, Vec3::UnitX());
  name(forward, "forward", true);
  name(within_half_turn(forward + kPi), "rearward", false);
  const double side = member.tube.centreline.point(m.s_scribe).y();
  if (std::abs(side) > 1) name(clock_of(member, m.s_scribe, {0, side > 0 ? -1.0 : 1.0, 0}), "inside", false);
  return kNameRow + kRow * static_cast<double>(rows.size());
}

/// Lowest height of the cut over the paper between two abscissas.
double room_above(const shape::Unrolled& t, double from, double to) {
  double least = INFINITY;
  for (std::size_t i = 0; i < t.edge.size(); ++i) {
    if (t.edge[i].x() >= from - 1 && t.edge[i].x() <= to + 1)
      least = std::min(least, t.edge[i].y() - t.ring[i].y());
  }
  return least;
}

/// What piece this is, where the paper is tallest beside the mark line; it must survive the scissors. The
/// revision goes under it where there is room.
void name_piece(Group& group, const study::Mitre& m, const TemplateWords& words, double row) {
  const shape::Unrolled& t = m.template_;
  const double left = t.ring.front().x(), right = t.ring.back().x();
  double height = 2.5;
  const double most = std::min(-left, right) - 3;
  while (height - 0.1 > kLeastLetter && text_width(words.piece, height, true) > most) height -= 0.1;
  const double wide = text_width(words.piece, height, true);
  double best = -INFINITY, best_x = 0;
  for (double x = left + wide / 2 + 1.2; x <= right - wide / 2 - 1.2; x += 0.25) {
    if (std::abs(x) < wide / 2 + 1.2) continue;  // keep the mark line free
    const double room = room_above(t, x - wide / 2, x + wide / 2);
    if (room > best + 1e-6) best = room, best_x = x;
  }
  const double low = row + rib_at(m, 0).foot.y(), high = std::max(best, row) - 1;
  const bool two = !words.revision.empty() && high - low > 2 * height + 1;
  const double block = two ? 2 * height + 0.8 : height;
  const double y = std::max(low, 0.5 * (low + high - block));
  Text out = word({best_x, two ? y + height + 0.8 : y}, words.piece, height);
  out.bold = true, out.backed = true;
  group.items.emplace_back(out);
  if (!two) return;
  out.at.y() = y, out.text = words.revision, out.height = std::max(kLeastLetter, 0.8 * height),
  out.bold = false;
  group.items.emplace_back(out);
}

/// The stretches that pass beside the target, told on their own side of the mark line. Gives the height used.
double tell_passing(Group& group, const study::Mitre& m, double top, const TemplateWords& words) {
  if (m.passing.empty()) return 0;
  bool told[2] = {false, false};
  for (const study::Passing& p : m.passing) {
    const double u = within_half_turn(0.5 * (p.from + p.to));
    const Vec2 at = rib_at(m, u).edge;
    const bool right = at.x() > 0;
    const double tail = top + 2.6;
    group.items.emplace_back(line(at + Vec2(0, 1), {at.x(), tail}, {Weight::thin}));
    group.items.emplace_back(arrow_head(at + Vec2(0, 0.6), {0, -1}));
    if (told[right]) continue;
    told[right] = true;
    const double x = right ? 4 : -4;
    const Anchor anchor = right ? Anchor::left : Anchor::right;
    group.items.emplace_back(word({x, top + 8.2}, "passes beside the " + words.target + ":", 2.2, anchor));
    group.items.emplace_back(word({x, top + 4}, "cut to the line, ends at the middle", 2.2, anchor));
  }
  return 11;
}

/// A long arrow from the mark line's foot toward the forward side.
void point_forward(Group& group, const study::Mitre& m, const bike::Member& member, double y) {
  const double forward = clock_of(member, m.s_scribe, Vec3::UnitX());
  const double x = rib_at(m, forward).foot.x();
  const double side = x < 0 ? -1 : 1;
  group.items.emplace_back(line({4 * side, y + 1.2}, {20 * side, y + 1.2}, {Weight::medium}));
  group.items.emplace_back(arrow_head({22 * side, y + 1.2}, {side, 0}, 3));
  Text text = word({24 * side, y}, "forward", 2.5, side > 0 ? Anchor::left : Anchor::right);
  text.bold = true;
  group.items.emplace_back(text);
  group.items.emplace_back(word({-4 * side, y}, "rearward", 2.5, side > 0 ? Anchor::right : Anchor::left));
}

Group write_words(const study::Mitre& m, const bike::Member& member, const TemplateWords& words) {
  Group group{.name = "words", .label = "what goes where", .items = {}, .clip = {}};
  double top = -INFINITY, low = INFINITY;
  for (const Vec2& p : m.template_.edge) top = std::max(top, p.y());
  for (const Vec2& p : m.template_.ring) low = std::min(low, p.y());
  name_piece(group, m, words, name_sides(group, m, member));
  const double level = top + tell_passing(group, m, top, words);
  const Rib mark = rib_at(m, 0);
  group.items.emplace_back(
      line(mark.edge + Vec2(0, 0.8), {0, level + 3.4}, {Weight::thin, Dash::solid, Ink::hand}));
  Text name = word({0, level + 4.6}, words.mark, 2.5);
  name.ink = Ink::hand, name.bold = true;
  group.items.emplace_back(name);
  group.items.emplace_back(word({0, level + 10.5}, "↑  " + words.waste, 2.5));
  Text scribe = word({0, low - 4.6}, words.scribe, 2.5);
  scribe.ink = Ink::hand, scribe.bold = true;
  group.items.emplace_back(scribe);
  point_forward(group, m, member, low - 10.2);
  group.items.emplace_back(word({0, low - 15.8}, "↓  " + words.base, 2.5));
  return group;
}

}  // namespace

TemplateDrawing draw_template(const study::Mitre& mitre, const bike::Member& member,
                              const TemplateWords& words) {
  TemplateDrawing out;
  out.groups = {draw_lines(mitre, words.piece), draw_clock(mitre), write_words(mitre, member, words)};
  std::vector<Item> all;
  for (const Group& group : out.groups) all.insert(all.end(), group.items.begin(), group.items.end());
  out.bounds = *bounds_of(all);
  return out;
}

}  // namespace halfround::drawing
