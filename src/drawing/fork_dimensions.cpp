#include "drawing/fork_dimensions.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/quantity.h"
#include "base/say.h"
#include "drawing/tyre_section.h"
#include "paper/draughting.h"

namespace halfround::drawing {

namespace {

using base::format_number;
using base::kPi;
using base::to_deg;

constexpr double kTickStep = 50;  // mm between marks along a blade

const DimensionStyle kPlain{.height = kLetter, .arrow = 3.5};

DimensionStyle sets(const std::string& key) {
  DimensionStyle out = kPlain;
  out.key = key;
  return out;
}

/// The key of a wish, where the job has it.
std::string wish_key(const job::Job& job, job::Wish what) {
  const std::string name(base::word_of(layout::kWishes, what).key);
  const bool wished =
      std::ranges::any_of(job.wishes.two, [&](const job::Wished& w) { return w.what == what; });
  for (const std::string& key : {"wishes." + name, "wishes.left." + name})
    if (wished && job.lines.contains(key)) return key;
  return "";
}

std::string mm(double v, int decimals = 1) {
  return format_number(v, decimals);
}
std::string driven(double v, int decimals = 1) {
  return "(" + mm(v, decimals) + ")";
}
std::string driven_angle(double rad, int decimals = 1) {
  return "(" + mm(to_deg(rad), decimals) + "°)";
}

/// "ø28.6 × 2.3", or both ends of a tapered one.
std::string steerer_words(const layout::Steerer& s) {
  const shape::Station &low = s.stations.front(), &high = s.stations.back();
  const std::string below = "ø" + mm(low.width) + " × " + mm(low.wall);
  if (std::abs(high.width - low.width) < 0.05) return below;
  return below + " to ø" + mm(high.width) + " × " + mm(high.wall);
}

/// The tightest place between blade and tyre as seen from ahead, and where its words stand.
struct Tightest {
  Vec2 on_blade, on_tyre, middle, shelf;
};
Tightest tightest_of(const Drawing& d) {
  const shape::Gap& gap = d.a.fork.left.clearance;
  Tightest t{d.front(gap.on_tube), d.front(gap.on_body), {}, {}};
  t.middle = 0.5 * (t.on_blade + t.on_tyre);
  t.shelf = {d.front(d.axle()).x() + 6, std::min(t.middle.y() - 30, t.on_tyre.y() - 26)};
  return t;
}

}  // namespace

void put_blade_marks(Group& g, const Drawing& d) {
  const bike::Member& m = d.member(bike::part(bike::PartKind::blade, bike::Side::left));
  for (double x = kTickStep; x < m.s_end - m.s_start - 10; x += kTickStep) {
    const double s = m.s_start + x;
    const shape::Frame f = m.tube.centreline.at(s);
    const Vec2 t(f.t.dot(d.front.right), f.t.dot(d.front.up));
    const Vec2 across = Vec2(t.y(), -t.x()).normalized();
    const double r = m.tube.profile.width(s) / 2;
    const Vec2 c = d.front(f.c);
    const Vec2 to = c + (r + 4) * across;
    g.items.emplace_back(poly({c - (r + 2) * across, to}, Weight::thin, Dash::solid, Ink::hand));
    const bool round = m.tube.profile.kind(s) == shape::OutlineKind::round;
    const std::string size = round ? "ø" + mm(m.tube.profile.width(s))
                                   : mm(m.tube.profile.width(s)) + " × " + mm(m.tube.profile.depth(s));
    g.items.emplace_back(Text{.at = to + Vec2(1.5, -1.2),
                              .text = base::say("{:.0f}", x),
                              .height = kLetter,
                              .ink = Ink::hand,
                              .bold = true,
                              .backed = true});
    g.items.emplace_back(
        Text{.at = to + Vec2(1.5 + text_width(base::say("{:.0f}", x), kLetter, true) + 2.5, -1.2),
             .text = size,
             .height = kLetter,
             .backed = true});
  }
}

void put_front_dimensions(Group& g, const Drawing& d) {
  const Vec2 hub = d.front(d.axle());
  const double half = d.a.intent.over_locknut / 2;
  const layout::LowerEnd ends[] = {layout::own_side(d.a.intent, true).lower_end,
                                   layout::own_side(d.a.intent, false).lower_end};
  add(g, dimension_linear(hub + Vec2(-half, -11), hub + Vec2(half, -11), -14, mm(2 * half),
                          sets("hub.over_locknut")));
  const Vec2 l = d.front(d.member(bike::part(bike::PartKind::blade, bike::Side::left))
                             .tube.centreline.point(d.a.fork.left.lower_trim));
  const Vec2 r = d.front(d.member(bike::part(bike::PartKind::blade, bike::Side::right))
                             .tube.centreline.point(d.a.fork.right.lower_trim));
  add(g, dimension_along(Vec2(r.x(), hub.y() - 11), Vec2(l.x(), hub.y() - 11), {1, 0}, -25,
                         driven(2 * half + ends[0].blade_from_hub + ends[1].blade_from_hub), kPlain));
  if (layout::row_of(d.a.intent.lower_end.kind).barrel) {
    const double l_out = half + ends[0].length, r_out = half + ends[1].length;
    add(g, dimension_linear(hub + Vec2(-r_out, -12), hub + Vec2(l_out, -12), -35, driven(l_out + r_out),
                            kPlain));
  }
  // tyre
  const double wide = tyre_width(d.a), y = hub.y() + 60;
  DimensionStyle assumed = kPlain;
  assumed.italic = d.job.wheel.half_profile.empty();
  add(g, dimension_linear({hub.x() - wide / 2, y}, {hub.x() + wide / 2, y}, 0, mm(wide), assumed));
  const Tightest t = tightest_of(d);
  g.items.emplace_back(poly({t.on_blade, t.on_tyre}, Weight::thick, Dash::solid, Ink::hand));
  DimensionStyle hand = kPlain;
  hand.ink = Ink::hand;
  hand.key = wish_key(d.job, job::Wish::clearance);
  add(g, leader(t.middle, t.shelf, "tightest " + mm(d.a.fork.left.clearance.value), hand));
}

void put_front_angles(Group& g, const Drawing& d) {
  const layout::Placed& p = d.a.fork.left;
  // splay at the lower run, against a line parallel to the axis
  const bike::Member& m = d.member(bike::part(bike::PartKind::blade, bike::Side::left));
  const double s = m.s_start + 0.33 * (m.s_end - m.s_start);
  const shape::Frame f = m.tube.centreline.at(s);
  const Vec2 c = d.front(f.c);
  const Vec2 t = Vec2(f.t.dot(d.front.right), f.t.dot(d.front.up)).normalized();
  const Vec2 level(0, 1);
  g.items.emplace_back(poly({c, c + 92 * level}, Weight::thin));
  g.items.emplace_back(poly({c, c + 92 * t}, Weight::thin));
  const double a0 = kPi / 2, a1 = std::atan2(t.y(), t.x());
  g.items.emplace_back(
      arc(c, 86, std::min(a0, a1), std::max(a0, a1), {Weight::thin, Dash::solid, Ink::graphite}));
  const Vec2 on = c + 86 * Vec2(std::cos(0.5 * (a0 + a1)), std::sin(0.5 * (a0 + a1)));
  // its words keep clear of those of the tightest place
  const Tightest tight = tightest_of(d);
  double rise = 14;
  for (const double dy : {14.0, -16.0, -34.0, 40.0}) {
    rise = dy;
    const double y = on.y() + dy;
    if (std::abs(y - tight.shelf.y()) > 12 && std::abs(y - tight.middle.y()) > 12) break;
  }
  add(g, leader(on, on + Vec2(-34, rise), "splay " + driven_angle(p.splay),
                sets(wish_key(d.job, job::Wish::splay))));
  // top angle where the middle line meets the steering axis, or the crown tube's
  const layout::Crown& crown = d.a.intent.crown;
  if (std::holds_alternative<layout::PlateCrown>(crown) || std::holds_alternative<layout::SocketCrown>(crown))
    return;
  const shape::Frame top = m.tube.centreline.at(p.s_crown);
  const Vec2 tt = Vec2(top.t.dot(d.front.right), top.t.dot(d.front.up)).normalized();
  const Vec2 at = d.front(top.c);
  const double up = kPi / 2, along = std::atan2(tt.y(), tt.x());
  g.items.emplace_back(poly({at, at + 44 * tt}, Weight::thin));
  add(g, dimension_angle(at, std::min(up, along), std::max(up, along), 38, driven_angle(p.top_angle),
                         sets(wish_key(d.job, job::Wish::top_angle))));
}

void put_side_dimensions(Group& g, const Drawing& d, double left_x) {
  const View& v = d.side;
  const Vec2 hub = v(d.axle()), seat = v(Vec3(0, 0, 0));
  const double drop = d.a.intent.drop, offset = d.a.intent.offset;
  const double r = d.a.intent.steerer.stations.front().width / 2;
  // the crown race seat as a line of its own
  g.items.emplace_back(
      poly({seat + Vec2(-r - 4, 0), seat + Vec2(r + 4, 0)}, Weight::medium, Dash::solid, Ink::hand));
  DimensionStyle hand = kPlain;
  hand.ink = Ink::hand;
  add(g, leader(seat + Vec2(-r, 0), seat + Vec2(-r - 16, 30), "crown race seat", hand));
  // right side: along the axis
  const bool along = d.job.steering.axle_to_crown_is == job::AxleToCrown::along_the_axis;
  const auto asked = [](double value, bool is_asked) { return is_asked ? mm(value) : driven(value); };
  const double crown = d.a.fork.left.crown_height;
  const double x1 = seat.x() + r + 22, x2 = x1 + 13, x3 = x2 + 13;
  const double low = -d.a.intent.steerer.below_seat;
  bool crown_wished = false;
  for (const auto& w : d.a.intent.wishes) crown_wished = crown_wished || w.what == layout::Wish::crown_height;
  const auto upright = [&](double z0, double z1, double x, const std::string& text, const std::string& key) {
    const Vec2 p = v(Vec3(0, 0, z0)) + Vec2(r, 0), q = v(Vec3(0, 0, z1)) + Vec2(r, 0);
    add(g, dimension_linear(p, q, -(x - p.x()), text, sets(key)));
  };
  upright(-crown, 0, x1, asked(crown, crown_wished), wish_key(d.job, job::Wish::crown_height));
  upright(low, 0, x2, mm(-low), "steerer.below_seat");
  upright(low, d.top_z, x3, mm(d.a.intent.steerer.length), "steerer.length");
  const Vec2 down = v(Vec3(0, 0, d.axle_z));
  add(g, dimension_along(down, seat, {0, 1}, -(x3 + 13 - down.x()), asked(drop, along),
                         sets(along ? "steering.axle_to_crown" : "")));
  // offset, square to the axis, below the axle
  add(g, dimension_along(Vec2(hub.x(), hub.y() - 14), Vec2(down.x(), hub.y() - 14), {1, 0}, -12, mm(offset),
                         sets("steering.offset")));
  // straight length, from the axle to the seat
  add(g,
      dimension_linear(hub, seat, std::max(18.0, hub.x() - left_x - 30),
                       asked(std::hypot(drop, offset), !along), sets(along ? "" : "steering.axle_to_crown")));
}

void put_shares(Group& g, const Drawing& d, const Vec2& at) {
  const layout::Shares& s = d.a.fork.left.shares;
  const std::array<std::pair<const char*, double>, 4> rows{{{"blade tilt", s.tilt},
                                                            {"mitre offset", s.mitre_offset},
                                                            {"blade rake", s.rake},
                                                            {"dropout lead", s.dropout_lead}}};
  double y = at.y();
  g.items.emplace_back(Text{.at = {at.x(), y}, .text = "offset made up of", .height = kLetter, .bold = true});
  const auto row = [&](const std::string& what, double value, bool total) {
    y -= 6.5;
    g.items.emplace_back(Text{.at = {at.x(), y}, .text = what, .height = kLetter, .bold = total});
    g.items.emplace_back(Text{.at = {at.x() + 56, y},
                              .text = mm(value, 2),
                              .height = kLetter,
                              .anchor = Anchor::right,
                              .bold = total});
  };
  for (const auto& [what, value] : rows) row(what, value, false);
  g.items.emplace_back(
      line({at.x(), y - 2}, {at.x() + 56, y - 2}, {Weight::thin, Dash::solid, Ink::graphite}));
  row("offset", s.sum(), true);
}

void put_notes(Group& g, const Drawing& d, const Vec2& at) {
  const solve::Handling& h = d.a.handling;
  const layout::Placed& p = d.a.fork.left;
  std::vector<std::pair<std::string, std::string>> rows = {
      {"head angle", mm(to_deg(h.head_angle)) + "°"},
      {"trail", driven(h.trail)},
      {"steerer", steerer_words(d.a.intent.steerer)},
      {"blades' plane tilted", driven_angle(p.tilt_angle, 2)},
      {"lower trim, from the tip", driven(p.lower_trim)},
      {"blade between design points", driven(p.s_top - p.lower_trim)},
      {"joint below the race seat", driven(d.a.seat_gap)},
      {"tyre to steerer", driven(d.a.crown_gap)}};
  if (!d.a.fork.mirrored) rows.emplace_back("right blade: lower trim", driven(d.a.fork.right.lower_trim));
  double y = at.y();
  for (const auto& [what, value] : rows) {
    g.items.emplace_back(Text{.at = {at.x(), y}, .text = what, .height = kLetter});
    g.items.emplace_back(
        Text{.at = {at.x() + 92, y}, .text = value, .height = kLetter, .anchor = Anchor::right});
    y -= 6.5;
  }
  g.items.emplace_back(Text{.at = {at.x(), y - 1},
                            .text = "All lengths mm. In brackets: follows from the others.",
                            .height = kLetter});
  g.items.emplace_back(Text{.at = {at.x(), y - 8},
                            .text = "Violet: marks for the hand, every 50 mm",
                            .height = kLetter,
                            .ink = Ink::hand});
  g.items.emplace_back(Text{.at = {at.x(), y - 14.5},
                            .text = "from the blade's lower design point.",
                            .height = kLetter,
                            .ink = Ink::hand});
}

}  // namespace halfround::drawing
