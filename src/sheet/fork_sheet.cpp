#include "sheet/fork_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/quantity.h"
#include "job/notes.h"
#include "sheet/clip.h"
#include "sheet/draughting.h"
#include "sheet/view.h"

namespace halfround::sheet {

namespace {

using base::format_number;
using base::kPi;
using base::to_deg;

constexpr double kBelowAxle = 62;   // mm of the wheel shown below the axle
constexpr double kFrontHalf = 150;  // mm kept free on each side of the front view's axis for dimensions
constexpr double kTickStep = 50;    // mm between marks along a blade

// letters of 3.5 mm, as ISO 3098 has it for sheets of this size [memory]
constexpr double kLetter = 3.5;
const DimensionStyle kPlain{.height = kLetter, .arrow = 3.5};

std::string mm(double v, int decimals = 1) {
  return format_number(v, decimals);
}
std::string driven(double v, int decimals = 1) {
  return "(" + mm(v, decimals) + ")";
}
std::string driven_angle(double rad, int decimals = 1) {
  return "(" + mm(to_deg(rad), decimals) + "°)";
}

Path poly(std::vector<Vec2> points, Weight weight, Dash dash = Dash::solid, Ink ink = Ink::graphite,
          bool closed = false) {
  Path p;
  p.points = std::move(points);
  p.stroke = {weight, dash, ink};
  p.closed = closed;
  return p;
}

/// Everything the parts of the drawing need.
struct Drawing {
  const job::Job& job;
  const job::Answer& a;
  View front, side;
  std::vector<Trimmed> parts;
  double top_z = 0, axle_z = 0;  // of the steerer's top and the axle in F
  [[nodiscard]] const bike::Member& member(const std::string& name) const {
    const bike::Member* m = bike::find_member(a.fork.assembly, name);
    base::check(m != nullptr, "the drawing asks for a member of the assembly");
    return *m;
  }
  [[nodiscard]] Vec3 axle() const { return a.fork.assembly.axle; }
};

Drawing drawing_of(const job::Job& job, const job::Answer& a) {
  const double tilt = a.fork.left.tilt_angle, c = std::cos(tilt), s = std::sin(tilt);
  Drawing d{job, a, {}, {}, trimmed(a.fork.assembly, a.mitres), 0, 0};
  d.front = {Vec3(0, 1, 0), Vec3(-s, 0, c), Vec3(c, 0, s), {0, 0}};  // rider's left lies to the right
  d.side = {Vec3(-1, 0, 0), Vec3(0, 0, 1), Vec3(0, 1, 0), {0, 0}};   // forward lies to the left
  d.top_z = a.intent.steerer.length - a.intent.steerer.below_seat;
  d.axle_z = d.axle().z();
  return d;
}

// ---- outlines
// ---------------------------------------------------------------------------------------------------

void put_sides(Group& g, const Drawing& d, const Trimmed& part, const View& view) {
  for (Side& s : sides(part, view, d.parts)) {
    g.items.emplace_back(poly(std::move(s.points), s.hidden ? Weight::thin : Weight::thick,
                              s.hidden ? Dash::dashed : Dash::solid));
  }
}

void put_edges(Group& g, const Trimmed& part, const View& view) {
  for (const study::Mitre* cut : {part.at_start, part.at_end}) {
    if (!cut) continue;
    for (Side& s : edge(*cut, *part.member, view)) {
      g.items.emplace_back(poly(std::move(s.points), s.hidden ? Weight::thin : Weight::medium,
                                s.hidden ? Dash::dashed : Dash::solid));
    }
  }
}

/// Square ends and bore of turned or straight parts.
void put_ends(Group& g, const Trimmed& part, const View& view, bool bore) {
  const bike::Member& m = *part.member;
  if (!part.at_start)
    g.items.emplace_back(
        poly(ring(m.tube, m.s_start, view), Weight::thick, Dash::solid, Ink::graphite, true));
  if (!part.at_end)
    g.items.emplace_back(poly(ring(m.tube, m.s_end, view), Weight::thick, Dash::solid, Ink::graphite, true));
  if (!bore || m.tube.profile.wall(m.s_end) <= 0) return;
  const shape::Tube inner = m.tube.inner();
  const bool along_the_eye = std::abs(m.tube.centreline.at(m.s_end).t.dot(view.toward)) > 0.99;
  if (along_the_eye) {
    g.items.emplace_back(poly(ring(inner, m.s_end, view), Weight::medium, Dash::solid, Ink::graphite, true));
    return;
  }
  const bike::Member hollow{m.name, inner, m.s_start, m.s_end, m.stock_length};
  for (Side& s : sides({&hollow, nullptr, nullptr}, view, {})) {
    g.items.emplace_back(poly(std::move(s.points), Weight::thin, Dash::dashed));
  }
}

/// A closed outline in space; what stands inside a blade is dashed.
void put_closed(Group& g, const Drawing& d, const std::vector<Vec3>& corners, const View& view) {
  std::vector<Vec3> fine;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vec3 &p = corners[i], &q = corners[(i + 1) % corners.size()];
    const int n = std::max(1, static_cast<int>((q - p).norm()));
    for (int k = 0; k < n; ++k) fine.push_back(p + (q - p) * k / n);
  }
  fine.push_back(fine.front());
  std::vector<Vec2> run;
  bool hidden = false;
  const auto flush = [&] {
    if (run.size() > 1)
      g.items.emplace_back(
          poly(run, hidden ? Weight::thin : Weight::thick, hidden ? Dash::dashed : Dash::solid));
  };
  for (const Vec3& p : fine) {
    const bool now =
        std::any_of(d.parts.begin(), d.parts.end(), [&](const Trimmed& part) { return within(part, p); });
    if (now != hidden && !run.empty()) {
      run.push_back(view(p));
      flush();
      run.clear();
    }
    hidden = now;
    run.push_back(view(p));
  }
  flush();
}

/// A flat part, from its face or on its edge.
void put_plates(Group& g, const Drawing& d, const View& view) {
  for (const bike::Plate& p : d.a.fork.assembly.plates) {
    if (std::abs(p.normal.dot(view.toward)) > 0.5) {
      put_closed(g, d, p.outline, view);
      continue;
    }
    // on its edge: from its lowest to its highest point, as thick as it is
    const auto [lo, hi] =
        std::minmax_element(p.outline.begin(), p.outline.end(),
                            [&](const Vec3& a, const Vec3& b) { return view(a).y() < view(b).y(); });
    const Vec3 t = p.thickness / 2 * p.normal;
    put_closed(g, d, {*lo - t, *lo + t, *hi + t, *hi - t}, view);
  }
}

Group parts_group(const Drawing& d, const View& view, const std::string& name, const std::string& label,
                  bool only_left) {
  Group g{.name = name, .label = label, .items = {}, .clip = {}};
  for (const Trimmed& part : d.parts) {
    const std::string& n = part.member->name;
    if (only_left && n.find(".right") != std::string::npos) continue;
    put_sides(g, d, part, view);
    put_edges(g, part, view);
    const bool blade = n.rfind("blade", 0) == 0;
    if (!blade) put_ends(g, part, view, true);
    if (blade && !part.at_start) {
      g.items.emplace_back(poly(ring(part.member->tube, part.member->s_start, view), Weight::medium,
                                Dash::solid, Ink::graphite, true));
    }
  }
  put_plates(g, d, view);
  return g;
}

/// The steerer's bore in the side view is left out; its wall stands in the notes.
void put_axes(Group& g, const Drawing& d, const View& view, bool only_left) {
  const auto axis = [&](const Vec3& p, const Vec3& q) {
    g.items.emplace_back(poly({view(p), view(q)}, Weight::thin, Dash::chain));
  };
  axis(Vec3(0, 0, d.top_z + 12), Vec3(0, 0, -d.a.intent.steerer.below_seat - 40));
  for (const char* name : {"blade.left", "blade.right"}) {
    if (only_left && std::string(name) == "blade.right") continue;
    const bike::Member& m = d.member(name);
    g.items.emplace_back(poly(centreline(m.tube, m.s_start, m.s_end, view), Weight::thin, Dash::chain));
  }
}

// ---- wheel
// ------------------------------------------------------------------------------------------------------

void put_wheel_front(Group& g, const Drawing& d) {
  const double cut = d.front(d.axle()).y() - kBelowAxle;
  const std::vector<Vec2> whole = hull(d.a.fork.assembly.tyre, d.front);
  // the hull above the cut, opened there
  std::vector<Vec2> seen;
  std::size_t start = 0;
  for (std::size_t i = 0; i < whole.size(); ++i) {
    if (whole[i].y() < cut && whole[(i + 1) % whole.size()].y() >= cut) start = (i + 1) % whole.size();
  }
  for (std::size_t k = 0; k < whole.size(); ++k) {
    const Vec2& p = whole[(start + k) % whole.size()];
    if (p.y() < cut) break;
    seen.push_back(p);
  }
  if (seen.size() < 2) return;
  seen.insert(seen.begin(), Vec2(seen.front().x(), cut));
  seen.emplace_back(seen.back().x(), cut);
  Area tone;
  tone.rings = {seen};
  tone.fill = Area::Fill::tone;
  tone.tone = 0.05;
  g.items.emplace_back(tone);
  // where the drawing leaves off
  const Vec2 a = seen.front(), b = seen.back(), m = 0.5 * (a + b);
  g.items.emplace_back(poly(
      {b, {m.x() + 3, cut}, {m.x() + 1, cut + 3}, {m.x() - 1, cut - 3}, {m.x() - 3, cut}, a}, Weight::thin));
  g.items.emplace_back(poly(std::move(seen), Weight::medium));
}

void put_wheel_side(Group& g, const Drawing& d, const Box& window) {
  const auto& tyre = d.a.fork.assembly.tyre;
  const Vec2 hub = d.side(d.axle());
  const double middle = 1 / tyre.centreline.pieces().front().curvature;
  const double outside = middle + tyre.profile.at({1, 0}, 0).r,
               inside = middle - tyre.profile.at({-1, 0}, 0).r;
  const auto clipped = [&](double radius, Weight weight, Dash dash) {
    Path whole = circle(hub, radius, {weight, dash, Ink::graphite});
    // only the arc inside the window, as runs of points
    std::vector<Vec2> run;
    const std::size_t n = whole.points.size();
    std::size_t start = 0;
    const auto in = [&](const Vec2& p) {
      return p.x() > window.min.x() && p.x() < window.max.x() && p.y() > window.min.y() &&
             p.y() < window.max.y();
    };
    while (start < n && in(whole.points[start])) ++start;
    for (std::size_t k = 0; k <= n; ++k) {
      const Vec2& p = whole.points[(start + k) % n];
      if (in(p)) {
        run.push_back(p);
      } else if (run.size() > 1) {
        g.items.emplace_back(poly(std::move(run), weight, dash));
        run.clear();
      } else {
        run.clear();
      }
    }
  };
  clipped(outside, Weight::medium, Dash::solid);
  clipped(inside, Weight::thin, Dash::dashed);
}

void put_axle(Group& g, const Drawing& d, const View& view, bool side_view) {
  const double radius = d.job.hub.axle.value / 2;
  const Vec2 at = view(d.axle());
  if (side_view) {
    add(g, centre_mark(at, std::max(radius, 8.0) + 4));
    g.items.emplace_back(circle(at, radius, {Weight::medium, Dash::solid, Ink::graphite}));
    return;
  }
  const double half = d.a.intent.over_locknut / 2;
  g.items.emplace_back(poly({at + Vec2(-half - 34, 0), at + Vec2(half + 34, 0)}, Weight::thin, Dash::chain));
  // hub between the faces: what the builder measured, as a light outline
  g.items.emplace_back(rectangle({at + Vec2(-half, -radius), at + Vec2(half, radius)},
                                 {Weight::thin, Dash::solid, Ink::graphite}));
  for (const double s : {-1.0, 1.0}) {
    g.items.emplace_back(poly({at + Vec2(s * half, -11), at + Vec2(s * half, 11)}, Weight::medium));
  }
}

// ---- dimensions
// -------------------------------------------------------------------------------------------------

/// Marks every 50 mm along the left blade from its lower design point, with width and depth there.
void put_blade_marks(Group& g, const Drawing& d) {
  const bike::Member& m = d.member("blade.left");
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
                              .text = fmt::format("{:.0f}", x),
                              .height = kLetter,
                              .ink = Ink::hand,
                              .bold = true,
                              .backed = true});
    g.items.emplace_back(
        Text{.at = to + Vec2(1.5 + text_width(fmt::format("{:.0f}", x), kLetter, true) + 2.5, -1.2),
             .text = size,
             .height = kLetter,
             .backed = true});
  }
}

void put_front_dimensions(Group& g, const Drawing& d) {
  const Vec2 hub = d.front(d.axle());
  const double half = d.a.intent.over_locknut / 2, seat = d.a.intent.lower_end.blade_from_hub;
  add(g, dimension_linear(hub + Vec2(-half, -11), hub + Vec2(half, -11), -14, mm(2 * half), kPlain));
  const Vec2 l = d.front(d.member("blade.left").tube.centreline.point(d.a.fork.left.lower_trim));
  const Vec2 r = d.front(d.member("blade.right").tube.centreline.point(d.a.fork.right.lower_trim));
  add(g, dimension_along(Vec2(r.x(), hub.y() - 11), Vec2(l.x(), hub.y() - 11), {1, 0}, -25,
                         driven(2 * (half + seat)), kPlain));
  if (d.a.intent.lower_end.kind == layout::LowerEndKind::insert) {
    const double out = half + d.a.intent.lower_end.length;
    add(g, dimension_linear(hub + Vec2(-out, -12), hub + Vec2(out, -12), -35, driven(2 * out), kPlain));
  }
  // tyre
  const auto& tyre = d.a.fork.assembly.tyre;
  const double wide = tyre.profile.depth(0), y = hub.y() + 60;
  DimensionStyle assumed = kPlain;
  assumed.italic = d.job.wheel.half_profile.empty();
  add(g, dimension_linear({hub.x() - wide / 2, y}, {hub.x() + wide / 2, y}, 0, mm(wide), assumed));
  // the tightest place
  const layout::Placed& p = d.a.fork.left;
  const Vec2 on_blade = d.front(p.clearance.on_tube), on_tyre = d.front(p.clearance.on_body);
  g.items.emplace_back(poly({on_blade, on_tyre}, Weight::thick, Dash::solid, Ink::hand));
  const Vec2 mid = 0.5 * (on_blade + on_tyre);
  DimensionStyle hand = kPlain;
  hand.ink = Ink::hand;
  add(g, leader(mid, Vec2(hub.x() + 6, std::min(mid.y() - 30, on_tyre.y() - 26)),
                "tightest " + mm(p.clearance.value), hand));
}

void put_front_angles(Group& g, const Drawing& d) {
  const layout::Placed& p = d.a.fork.left;
  // splay at the lower run, against a line parallel to the axis
  const bike::Member& m = d.member("blade.left");
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
  add(g, leader(on, on + Vec2(-34, 14), "splay " + driven_angle(p.splay), kPlain));
  // top angle where the centreline meets the steering axis
  const Vec3 top = m.tube.centreline.point(m.s_end);
  const Vec2 tt = Vec2(m.tube.centreline.at(m.s_end).t.dot(d.front.right),
                       m.tube.centreline.at(m.s_end).t.dot(d.front.up))
                      .normalized();
  const Vec2 at = d.front(top);
  const double up = kPi / 2, along = std::atan2(tt.y(), tt.x());
  g.items.emplace_back(poly({at, at + 44 * tt}, Weight::thin));
  add(g,
      dimension_angle(at, std::min(up, along), std::max(up, along), 38, driven_angle(p.top_angle), kPlain));
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
  const auto upright = [&](double z0, double z1, double x, const std::string& text) {
    const Vec2 p = v(Vec3(0, 0, z0)) + Vec2(r, 0), q = v(Vec3(0, 0, z1)) + Vec2(r, 0);
    add(g, dimension_linear(p, q, -(x - p.x()), text, kPlain));
  };
  upright(-crown, 0, x1, asked(crown, crown_wished));
  upright(low, 0, x2, mm(-low));
  upright(low, d.top_z, x3, mm(d.a.intent.steerer.length));
  const Vec2 down = v(Vec3(0, 0, d.axle_z));
  add(g, dimension_along(down, seat, {0, 1}, -(x3 + 13 - down.x()), asked(drop, along), kPlain));
  // offset, square to the axis, below the axle
  add(g, dimension_along(Vec2(hub.x(), hub.y() - 14), Vec2(down.x(), hub.y() - 14), {1, 0}, -12, mm(offset),
                         kPlain));
  // straight length, from the axle to the seat
  add(g, dimension_linear(hub, seat, std::max(18.0, hub.x() - left_x - 30),
                          asked(std::hypot(drop, offset), !along), kPlain));
}

/// How the offset is made up, as a small stack beside the side view's foot.
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
  const job::Handling& h = d.a.handling;
  const layout::Placed& p = d.a.fork.left;
  std::vector<std::pair<std::string, std::string>> rows = {
      {"head angle", mm(to_deg(h.head_angle)) + "°"},
      {"trail", driven(h.trail)},
      {"steerer", "ø" + mm(d.a.intent.steerer.stations.front().width) + " × " +
                      mm(d.a.intent.steerer.stations.front().wall)},
      {"blades' plane tilted", driven_angle(p.tilt_angle, 2)},
      {"lower trim, from the tip", driven(p.lower_trim)},
      {"blade between design points", driven(p.s_crown - p.lower_trim)},
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

void put_title(Group& g, const Vec2& at, const std::string& title, const std::string& under) {
  g.items.emplace_back(Text{.at = at, .text = title, .height = 5, .anchor = Anchor::centre, .bold = true});
  g.items.emplace_back(
      Text{.at = at - Vec2(0, 6.5), .text = under, .height = kLetter, .anchor = Anchor::centre});
}

/// The smallest sheet of the ISO 216 row that holds the content box asked for; a longer one where none does.
Vec2 paper_for(double width, double height) {
  for (const Vec2& size : {Vec2(420, 594), Vec2(594, 841), Vec2(841, 1189)}) {
    const Box free = content_box(size.x(), size.y());
    if (free.width() >= width && free.height() >= height) return size;
  }
  return {std::max(841.0, width + 40), height + 120};
}

}  // namespace

Page fork_page(const job::Job& job, const job::Answer& answer, const TitleBlock& title) {
  Drawing d = drawing_of(job, answer);
  // heights over the axle, on paper
  const double top =
      std::max(d.front(Vec3(0, 0, d.top_z)).y() - d.front(d.axle()).y(), d.top_z - d.axle_z) + 18;
  const double below = kBelowAxle + 8;
  const double side_half_left = std::max(140.0, answer.intent.offset + 96), side_half_right = 110;
  const double heading = 24;
  const double width = 2 * kFrontHalf + side_half_left + side_half_right + 10, height = top + below + heading;
  const Vec2 paper = paper_for(width, height);
  Page page{.width = paper.x(), .height = paper.y(), .name = "fork drawing", .groups = {}};
  const Box free = content_box(paper.x(), paper.y());
  const double x0 = free.min.x() + (free.width() - width) / 2;
  const double axle_y = free.min.y() + below + (free.height() - height) / 2;
  d.front.origin = Vec2(x0 + kFrontHalf, axle_y - d.front(d.axle()).y());
  d.side.origin = Vec2(x0 + 2 * kFrontHalf + 10 + side_half_left, axle_y - d.side(d.axle()).y());

  const double side_x = d.side(Vec3::Zero()).x();
  Group wheel{.name = "wheel", .label = "tyre and hub", .items = {}, .clip = {}};
  put_wheel_front(wheel, d);
  put_wheel_side(wheel, d,
                 {{side_x - side_half_left, axle_y - kBelowAxle}, {side_x + side_half_right, axle_y + top}});
  put_axle(wheel, d, d.front, false);
  put_axle(wheel, d, d.side, true);
  page.groups.push_back(std::move(wheel));
  page.groups.push_back(parts_group(d, d.front, "outline", "fork from ahead", false));
  page.groups.push_back(parts_group(d, d.side, "outline", "fork from the rider's left", true));
  Group axes{.name = "axes", .label = "centre lines", .items = {}, .clip = {}};
  put_axes(axes, d, d.front, false);
  put_axes(axes, d, d.side, true);
  page.groups.push_back(std::move(axes));
  Group dims{.name = "dimensions", .label = "dimensions", .items = {}, .clip = {}};
  put_blade_marks(dims, d);
  put_front_dimensions(dims, d);
  put_front_angles(dims, d);
  put_side_dimensions(dims, d, side_x - side_half_left);
  page.groups.push_back(std::move(dims));
  Group words{.name = "words", .label = "titles and notes", .items = {}, .clip = {}};
  const double head_y = axle_y + top + 12;
  put_title(words, {d.front.origin.x(), head_y}, "FROM AHEAD",
            fmt::format("square to the blades' plane, {}° forward of the steering axis: lay a blade on it",
                        mm(to_deg(answer.fork.left.tilt_angle))));
  put_title(words, {side_x - 10, head_y}, "FROM THE RIDER'S LEFT",
            "lengths along the steering axis are true here");
  words.items.emplace_back(Text{.at = {d.front.origin.x() - 78, axle_y - 50},
                                .text = "RIGHT",
                                .height = 5,
                                .anchor = Anchor::right,
                                .bold = true});
  words.items.emplace_back(
      Text{.at = {d.front.origin.x() + 78, axle_y - 50}, .text = "LEFT", .height = 5, .bold = true});
  put_notes(words, d, {free.min.x() + 4, axle_y + top - 8});
  put_shares(words, d, {side_x - side_half_left + 4, axle_y + top - 8});
  page.groups.push_back(std::move(words));
  furnish(page, title);
  return page;
}

}  // namespace halfround::sheet
