#include "drawing/fork_outline.h"

#include <algorithm>
#include <cmath>

#include "paper/draughting.h"
#include "paper/thinned.h"

namespace halfround::drawing {

const bike::Member& Drawing::member(const bike::Part& part) const {
  const bike::Member* m = bike::find_member(a.fork.assembly, part);
  base::check(m != nullptr, "the drawing asks for a member of the assembly");
  return *m;
}

Drawing drawing_of(const job::Job& job, const solve::Answer& a) {
  const double tilt = a.fork.left.tilt_angle, c = std::cos(tilt), s = std::sin(tilt);
  Drawing d{job, a, {}, {}, trimmed(a.fork.assembly, a.mitres), 0, 0};
  d.front = {Vec3(0, 1, 0), Vec3(-s, 0, c), Vec3(c, 0, s), {0, 0}};  // rider's left lies to the right
  d.side = {Vec3(-1, 0, 0), Vec3(0, 0, 1), Vec3(0, 1, 0), {0, 0}};   // forward lies to the left
  d.top_z = a.intent.steerer.length - a.intent.steerer.below_seat;
  d.axle_z = d.axle().z();
  return d;
}

Path poly(std::vector<Vec2> points, Weight weight, Dash dash, Ink ink, bool closed) {
  Path p;
  p.points = std::move(points);
  p.stroke = {weight, dash, ink};
  p.closed = closed;
  return p;
}

namespace {

void put_sides(Group& g, const Drawing& d, const Trimmed& part, const View& view) {
  for (Side& s : sides(part, view, d.parts, d.a.fork.assembly.plates)) {
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
  const bike::Member hollow{m.part, inner, m.s_start, m.s_end, m.stock_length};
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
      g.items.emplace_back(poly(thinned(run, kForTheEye), hidden ? Weight::thin : Weight::thick,
                                hidden ? Dash::dashed : Dash::solid));
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
    // on its edge: from end to end, as thick as it is
    const Vec3 along = p.normal.cross(view.toward);
    const auto [lo, hi] =
        std::minmax_element(p.outline.begin(), p.outline.end(),
                            [&](const Vec3& a, const Vec3& b) { return a.dot(along) < b.dot(along); });
    const Vec3 t = p.thickness / 2 * p.normal;
    put_closed(g, d, {*lo - t, *lo + t, *hi + t, *hi - t}, view);
  }
}
}  // namespace

Group parts_group(const Drawing& d, const View& view, const std::string& name, const std::string& label,
                  bool only_left) {
  Group g{.name = name, .label = label, .items = {}, .clip = {}};
  for (const Trimmed& part : d.parts) {
    const bike::Part& what = part.member->part;
    if (only_left && what.side == bike::Side::right) continue;
    put_sides(g, d, part, view);
    put_edges(g, part, view);
    const bool blade = what.kind == bike::PartKind::blade;
    if (!blade) put_ends(g, part, view, true);
    const auto square = [&](double s) {
      const Vec3 middle = part.member->tube.centreline.point(s);
      const bool inside = std::ranges::any_of(d.a.fork.assembly.plates,
                                              [&](const bike::Plate& p) { return within(p, middle); });
      g.items.emplace_back(poly(ring(part.member->tube, s, view), inside ? Weight::thin : Weight::medium,
                                inside ? Dash::dashed : Dash::solid, Ink::graphite, true));
    };
    if (blade && !part.at_start) square(part.member->s_start);
    if (blade && !part.at_end) square(part.member->s_end);
  }
  put_plates(g, d, view);
  return g;
}

void put_axes(Group& g, const Drawing& d, const View& view, bool only_left) {
  const auto axis = [&](const Vec3& p, const Vec3& q) {
    g.items.emplace_back(poly({view(p), view(q)}, Weight::thin, Dash::chain));
  };
  axis(Vec3(0, 0, d.top_z + 12), Vec3(0, 0, -d.a.intent.steerer.below_seat - 40));
  for (const bike::Side side : {bike::Side::left, bike::Side::right}) {
    if (only_left && side == bike::Side::right) continue;
    const bike::Member& m = d.member(bike::part(bike::PartKind::blade, side));
    g.items.emplace_back(poly(centreline(m.tube, m.s_start, m.s_end, view), Weight::thin, Dash::chain));
  }
}
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

}  // namespace halfround::drawing
