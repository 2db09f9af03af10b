// The cards of the small parts: the brake mount with its place and its foot; lugs, slots, holes and bosses.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "drawing/card_pictures.h"
#include "paper/text_block.h"
#include "paper/wrapped_table.h"
#include "sheet/cards_parts.h"
#include "sheet/check_tables.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::to_deg;
using base::Vec3;

constexpr TextStyle kWords{.height = 3, .leading = 1.45};

std::string mm(double v, int decimals = 1) {
  return format_number(v, decimals) + " mm";
}

/// A card for one hand has a bar at its edge; here it stands on the page's border.
Box inside(const Box& card) {
  return {card.min + Vec2(1, 0), card.max - Vec2(1, 0)};
}

/// The blade's outline between two heights over the axle, as seen from outside: front to the left.
std::vector<Vec2> outline(const bike::Member& blade, const Vec3& axle, double low, double high) {
  std::vector<Vec2> one, other;
  constexpr int n = 60;
  for (int i = 0; i <= n; ++i) {
    const double s = blade.s_start + (blade.s_end - blade.s_start) * i / n;
    const shape::Frame f = blade.tube.centreline.at(s);
    const Vec2 c(axle.x() - f.c.x(), f.c.z() - axle.z());
    if (c.y() < low || c.y() > high) continue;
    const Vec2 along = Vec2(-f.t.x(), f.t.z()).normalized();
    const Vec2 aside = 0.5 * blade.tube.profile.depth(s) * Vec2(-along.y(), along.x());
    one.emplace_back(c + aside), other.emplace_back(c - aside);
  }
  one.insert(one.end(), other.rbegin(), other.rend());
  return one;
}

/// Axle, blade, face and posts, seen from the mount's side.
Group mount_picture(const CardTable& t, const study::Mount& m, const Box& box) {
  Group g{.name = "mount",
          .label = "the brake mount seen from its side, front to the left",
          .items = {},
          .clip = {}};
  const bike::Assembly& fork = t.answer.fork.assembly;
  const bike::Member* blade = bike::find_member(fork, m.blade);
  const Vec2 a(-std::sin(m.turn), std::cos(m.turn)), n(a.y(), -a.x());  // up the face, rearward
  const auto flat = [&](const Vec3& p) -> Vec2 { return {fork.axle.x() - p.x(), p.z() - fork.axle.z()}; };
  const Vec2 first = flat(m.feet.front().face), last = flat(m.feet.back().face);
  const double high = last.y() + 28, low = -22;
  std::vector<Vec2> tube = outline(*blade, fork.axle, low, high);
  double least = -20, most = 20;
  for (const Vec2& p : tube) least = std::min(least, p.x()), most = std::max(most, p.x());
  most = std::max({most, first.x(), last.x()}) + 8;
  const double k = std::min((box.width() - 26) / (most - least), box.height() / (high - low));
  const Vec2 origin(box.min.x() + 4 - k * least, box.min.y() - k * low);
  const auto at = [&](const Vec2& p) -> Vec2 { return origin + k * p; };
  for (Vec2& p : tube) p = at(p);
  g.items.emplace_back(Path{.points = tube, .closed = false, .stroke = {Weight::medium}});
  const double axle = 0.5 * t.job.hub.axle.value;
  g.items.emplace_back(circle(at({0, 0}), k * axle, {Weight::medium}));
  add(g, centre_mark(at({0, 0}), k * axle));
  const double half = 0.5 * std::max(8.0, t.job.brake.post.value);
  for (std::size_t i = 0; i < m.feet.size(); ++i) {
    const study::MountFoot& f = m.feet[i];
    const Vec2 face = flat(f.face), foot = face - f.standing * n;
    g.items.emplace_back(
        Path{.points = {at(face + half * a), at(face - half * a), at(foot - half * a), at(foot + half * a)},
             .closed = true,
             .stroke = {Weight::medium}});
    g.items.emplace_back(line(at(face + 6 * n), at(foot - 4 * n), {Weight::thin, Dash::chain}));
    g.items.emplace_back(Text{.at = at(face + 7.5 * n) - Vec2(0, 1.5),
                              .text = fmt::format("bolt {}", i + 1),
                              .height = 3,
                              .bold = true});
  }
  g.items.emplace_back(line(at(first - 14 * a), at(last + 10 * a), {Weight::thick}));
  // from the axle: square to the face, then along it
  const Vec2 corner = m.face * n;
  g.items.emplace_back(line(at({0, 0}), at(corner), {Weight::thin}));
  g.items.emplace_back(line(at(corner - 4 * a), at(first), {Weight::thin}));
  add(g, dimension_along(at({0, 0}), at(corner), n, -k * 12, mm(m.face), {.height = 3, .bold = true}));
  add(g, dimension_along(at({0, 0}), at({0, 0}) + k * (first - corner), a, k * (-least - 4),
                         mm((first - corner).dot(a)), {.height = 3, .bold = true}));
  return g;
}

/// Lengths of both posts round their own clock.
Table foot_table(const study::Mount& m) {
  Table out;
  out.height = 3.2, out.row = 5, out.rule_every = 1;
  out.columns = {{"", 30, Anchor::left}};
  out.rows = {{{"post's clock", true}}};
  for (std::size_t i = 0; i < m.feet.size(); ++i) {
    out.columns.push_back({"", 24});
    out.rows.front().push_back({fmt::format("bolt {}", i + 1), true});
  }
  for (int u = 0; u < 360; u += 45) {
    std::vector<Cell> row{{fmt::format("{}°{}", u, u == 0 ? " up" : u == 90 ? " outside" : "")}};
    for (const study::MountFoot& f : m.feet) {
      const auto hit =
          std::ranges::find_if(f.depths, [&](const Vec2& d) { return std::abs(to_deg(d.x()) - u) < 0.5; });
      row.push_back({hit == f.depths.end() ? "beside" : format_number(hit->y(), 1), true});
    }
    out.rows.push_back(std::move(row));
  }
  return out;
}

/// What the fixtures' scales show for it; how far down it came.
double mount_settings(Group& g, const CardTable& t, const Box& box) {
  double y = box.max.y();
  for (const shop::FixtureSheet& f : t.plan.fixtures) {
    std::vector<const shop::Reading*> all;
    for (const shop::Reading& r : f.readings)
      if (shop::of_mount(r.measures)) all.push_back(&r);
    if (all.empty()) continue;
    add(g, paragraph({box.min.x(), y}, box.width(), "Set the " + f.fixture, {.height = 3.5, .bold = true})
               .items);
    y -= 6;
    const double wide = box.width() / static_cast<double>(std::max<std::size_t>(all.size(), 4));
    double low = y;
    for (std::size_t i = 0; i < all.size(); ++i) {
      const double x = box.min.x() + static_cast<double>(i) * wide;
      low = std::min(low, put_scale(g, {{x, box.min.y()}, {x + wide - 4, y}}, *all[i], 7));
    }
    y = low - 1.5;
    if (f.mount) {
      Block b =
          paragraph({box.min.x(), y}, box.width(),
                    fmt::format("Set like this, the bolts come {} off their place and {} to the side{}.",
                                mm(f.mount->off, 2), mm(f.mount->aside, 2),
                                f.mount->holds() ? "" : ": TOO COARSE, set them by the calliper in hand"),
                    kWords);
      add(g, std::move(b.items));
      y = b.bottom - 3;
    }
  }
  return y;
}

/// One feature: its place on the clock, the number to measure, what to know.
double put_feature(Group& g, const CardTable& t, const study::Feature& f, const Box& box, int step) {
  const bool right = f.member.side == bike::Side::right;
  const double radius = std::clamp(0.5 * box.height() - 12, 5.0, 10.0);
  Block head = paragraph(
      {box.min.x(), box.max.y()}, box.width(),
      fmt::format("{}. {}, ø{} mm, {}", step, f.name, format_number(f.size, 1), bike::spoken(f.member)),
      {.height = 3.5, .bold = true});
  add(g, std::move(head.items));
  const double top = std::min(head.bottom, box.max.y() - 7) - 0.5;
  const Vec2 c(right ? box.max.x() - radius - 7 : box.min.x() + radius + 7, top - 5 - radius);
  add(g, drawing::tack_clock({f.u}, c, radius));
  Box words{{box.min.x() + (right ? 0 : 2 * radius + 18), box.min.y()},
            {box.max.x() - (right ? 2 * radius + 18 : 0), top}};
  const bool tube = bike::find_member(t.answer.fork.assembly, f.member) != nullptr;
  const double low = put_reading(g, words,
                                 {tube ? "from the lower end of the stock" : "along it", mm(f.s),
                                  fmt::format("at clock {}; {}", base::format_clock(f.u), f.when)},
                                 9);
  Block why{.items = {}, .bottom = std::min(low, c.y() - radius - 6)};
  const std::string rule = f.placed.empty() ? "" : "By rule: " + f.placed + ".";
  for (const std::string& s : {f.why, rule, f.caution})
    if (!s.empty()) add_to(why, paragraph({box.min.x(), why.bottom - 0.8}, box.width(), s, kWords));
  add(g, std::move(why.items));
  return why.bottom;
}

}  // namespace

std::vector<std::size_t> features_of(const CardTable& t, bike::Side hand, bool before) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < t.answer.features.size(); ++i) {
    const study::Feature& f = t.answer.features[i];
    const bool right = f.member.side == bike::Side::right;
    if (f.kind == study::FeatureKind::brake_mount || is_before_joining(f) != before) continue;
    if (right == (hand == bike::Side::right)) out.push_back(i);
  }
  return out;
}

Group feature_card(const CardTable& t, bike::Side hand, const std::vector<std::size_t>& which, bool before,
                   const Box& card) {
  Group g{.name = "card", .label = "small parts card", .items = {}, .clip = {}};
  const std::string verb = before ? "CUT" : "JOIN";
  const Box free =
      put_head(g, card,
               {verb, hand, before ? "small parts, before the joints" : "small parts, after the joints",
                step_with(t.order, feature_key(which.front())).number, static_cast<int>(t.order.size())},
               t.answer.fork.assembly, t.answer.features[which.front()].member);
  double y = free.max.y();
  const double each = (free.height() - 12) / static_cast<double>(std::max<std::size_t>(which.size(), 3));
  for (const std::size_t i : which) {
    const double low = put_feature(g, t, t.answer.features[i], {{free.min.x(), y - each}, {free.max.x(), y}},
                                   step_with(t.order, feature_key(i)).number);
    y = std::min(y - each + 3, low) - 2;
    put_rule(g, card, y);
    y -= 2.5;
  }
  add(g, paragraph({free.min.x(), y}, free.width(),
                   "Clock seen from the member's lower end, 0° at its mark line.", kWords)
             .items);
  return g;
}

Group mount_card(const CardTable& t, const Box& card) {
  const study::Mount& m = *t.answer.mount;
  Group g{.name = "card", .label = "brake mount card", .items = {}, .clip = {}};
  const Box free = put_head(g, inside(card),
                            {"SET", m.blade.side, "brake mount, its place and its foot",
                             step_with(t.order, "mount").number, static_cast<int>(t.order.size())},
                            t.answer.fork.assembly, m.blade);
  double y = free.max.y();
  if (m.known) {
    const double high = 68, middle = free.min.x() + 0.62 * free.width();
    add(g, mount_picture(t, m, {{free.min.x(), y - high}, {middle - 4, y - 2}}).items);
    const std::string within = "± " + mm(m.tolerance);
    double low = y;
    const auto row = [&](const std::string& what, const std::string& number, const std::string& note) {
      low = put_reading(g, {{middle, free.min.y()}, {free.max.x(), low}}, {what, number, note}, 8) - 2.2;
    };
    row("face from the axle, square to it", mm(m.face), within);
    row("bolts along the face", mm(m.feet.front().along) + " · " + mm(m.feet.back().along),
        "from the axle's foot, " + within);
    row("bolts from the wheel's middle plane", mm(std::abs(m.lateral)),
        fmt::format("rotor's inner face at {}; {}", mm(std::abs(m.rotor_plane)), within));
    row("face leans, its top forward", format_number(to_deg(m.turn), 1) + "°", "against the steering axis");
    y = std::min(y - high, low) - 3;
    y = mount_settings(g, t, {{free.min.x(), free.min.y()}, {free.max.x(), y}});
  }
  Block notes{.items = {}, .bottom = y};
  constexpr TextStyle small{.height = 2.6, .leading = 1.4};
  for (const std::string& n : m.notes)
    add_to(notes, marked_paragraph({free.min.x(), notes.bottom - 0.8}, free.width(), "!", 4, n, small));
  add(g, std::move(notes.items));
  return g;
}

Group mount_foot_card(const CardTable& t, const Box& card) {
  const study::Mount& m = *t.answer.mount;
  Group g{.name = "card", .label = "brake mount's foot card", .items = {}, .clip = {}};
  const Box free = put_head(g, inside(card),
                            {"CUT", m.blade.side, "brake mount, its feet on the blade",
                             step_with(t.order, "mount").number, static_cast<int>(t.order.size())},
                            t.answer.fork.assembly, m.blade);
  double y = free.max.y();
  const double half = 0.46 * free.width();
  Block feet = table({free.min.x(), y}, foot_table(m));
  Block words{.items = {}, .bottom = y};
  for (std::size_t i = 0; i < m.feet.size(); ++i) {
    const study::MountFoot& f = m.feet[i];
    words.bottom =
        put_reading(
            g, {{free.min.x() + half, free.min.y()}, {free.max.x(), words.bottom}},
            {fmt::format("bolt {}: post's length in its middle", i + 1), mm(f.meets ? f.standing : f.nearest),
             f.meets ? fmt::format("its foot on the {} {} from the stock's lower end at clock {}",
                                   bike::spoken(m.blade), mm(f.s), base::format_clock(f.u))
                     : std::string("a straight post misses the blade")},
            7) -
        2;
  }
  add(g, std::move(feet.items));
  y = std::min(feet.bottom, words.bottom) - 3;
  add(g, paragraph(
             {free.min.x(), y}, free.width(),
             "Post's lengths run from its face to the blade's surface, on the post's outside; its clock is "
             "seen from the face.",
             {.height = 2.6, .leading = 1.4})
             .items);
  return g;
}

}  // namespace halfround::sheet
