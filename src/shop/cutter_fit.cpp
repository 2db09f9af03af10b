#include "shop/cutter_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"

namespace halfround::shop {

namespace {

constexpr double kTurn = 2 * base::kPi;
/// A strip this narrow that the cutter leaves is a minute's filing, rad.
constexpr double kSliver = base::to_rad(10);
constexpr double kEdgeTol = 1e-9;  // mm

bool on_the_clock(double u) {
  const double fifteenths = u * 24 / kTurn;
  return std::abs(fifteenths - std::round(fifteenths)) < 1e-8;
}

Vec2 seen(const JointView& v, const Vec3& p) {
  return {(p - v.origin).dot(v.x), (p - v.origin).dot(v.y)};
}

struct Place {
  double x = 0;      // of the cutter's axis in J
  double worst = 0;  // greatest gap, mm
};

/// For a cutter `side` off in y: as far back toward the tube as the target's room needs, which is where its
/// circle holds every point of the wanted cut; then the greatest gap square to the target, as if the tube's
/// generators ran along x.
double back_for(const std::vector<Vec2>& points, double r, double side) {
  double back = -INFINITY;
  for (const Vec2& q : points) {
    const double h = q.y() - side, left = r * r - h * h;
    if (left >= 0) back = std::max(back, q.x() - std::sqrt(left));
  }
  return back;
}

Place place_at(const JointView& v, double r, double side) {
  Place out{back_for(v.few, r, side), 0};
  for (const Vec2& q : v.few) {
    const double h = q.y() - side, left = r * r - h * h;
    if (left < 0) continue;
    const double edge = out.x + std::sqrt(left);
    out.worst = std::max(out.worst, std::sqrt(edge * edge + q.y() * q.y()) - q.norm());
  }
  return out;
}

/// The side offset with the least greatest gap: a scan, then golden section round its best place.
double best_side(const JointView& v, double r) {
  double low = INFINITY, high = -INFINITY;
  for (const Vec2& q : v.all) low = std::min(low, q.y()), high = std::max(high, q.y());
  if (high - low >= 2 * r) return 0.5 * (low + high);
  // outside this window nothing is gained; it holds 0 wherever the cutter covers the cut from there
  const double window = 3 * std::abs(r - v.target_radius) + 0.5;
  const double first = high - r, last = low + r;
  double from = std::max(first, -window), to = std::min(last, window);
  if (from > to) return std::clamp(0.0, first, last);
  constexpr int kScan = 24, kGolden = 26;
  int best = 0;
  double least = INFINITY;
  const auto at = [&](int i) { return from + (to - from) * i / kScan; };
  for (int i = 0; i <= kScan; ++i) {
    const double w = place_at(v, r, at(i)).worst;
    if (w < least - 1e-12) least = w, best = i;
  }
  // straight on the axis is what a hand sets best: nothing else unless it gains a hundredth
  const double middle = std::clamp(0.0, from, to);
  double lo = at(std::max(0, best - 1)), hi = at(std::min(kScan, best + 1));
  constexpr double kRatio = 0.6180339887498949;
  double p = hi - kRatio * (hi - lo), q = lo + kRatio * (hi - lo);
  double wp = place_at(v, r, p).worst, wq = place_at(v, r, q).worst;
  for (int i = 0; i < kGolden; ++i) {
    if (wp <= wq) {
      hi = q, q = p, wq = wp, p = hi - kRatio * (hi - lo), wp = place_at(v, r, p).worst;
    } else {
      lo = p, p = q, wp = wq, q = lo + kRatio * (hi - lo), wq = place_at(v, r, q).worst;
    }
  }
  const double side = 0.5 * (lo + hi);
  return place_at(v, r, middle).worst <= place_at(v, r, side).worst + 0.01 ? middle : side;
}

/// Where the generator through a wanted point comes out at the cutter's surface, from the tube's side.
struct Edge {
  bool found = false;
  Vec3 p = Vec3::Zero();
  double along = 0;  // short of the wanted point, along the generator
};

Edge edge_at(const JointView& v, const shape::TubeReader& tube, const SeenPoint& point, const Vec2& centre,
             double r) {
  const double toward = v.end == bike::End::end ? 1 : -1;
  const Vec2 e = base::unit_at(point.u);
  const Vec2 d = point.q - centre;
  const double left = r * r - d.y() * d.y();
  if (left < 0) return {};
  // start where a generator along x would come out
  const double back = centre.x() + std::sqrt(left) - point.q.x();
  shape::SurfacePoint at = shape::surface(tube, e, point.s);
  const double lean = std::abs(at.ps.dot(v.x));
  double s = point.s - toward * back / std::max(0.2, lean);
  for (int i = 0; i < 20; ++i) {
    at = shape::surface(tube, e, s);
    const Vec2 out = seen(v, at.p) - centre;
    const double rho = out.norm(), miss = rho - r;
    const double slope = (out.x() * at.ps.dot(v.x) + out.y() * at.ps.dot(v.y)) / rho;
    if (std::abs(miss) < kEdgeTol) {
      return {toward * slope < 0, at.p, toward * (point.s - s) * at.ps.norm()};
    }
    if (!(toward * slope < -1e-3)) return {};
    s -= std::clamp(miss / slope, -20.0, 20.0);
  }
  return {};
}

/// How much the file has to take off until the greatest gap is allowed, measured along x, and over how much
/// of the clock.
void plan_filing(CutterFit& out, const JointView& v, const std::vector<double>& back, double gap) {
  double depth = 0;
  for (std::size_t i = 0; i < v.some.size(); ++i) {
    const SeenPoint& point = v.some[i];
    if (!point.met || std::isnan(back[i])) continue;
    const double reach = point.q.norm() + gap, y = point.q.y();
    depth = std::max(depth, back[i] - (std::sqrt(reach * reach - y * y) - point.q.x()));
  }
  for (std::size_t i = 0; i < v.some.size() && depth > 0; ++i) {
    if (v.some[i].met && back[i] < depth) {
      out.file_over += v.some[i].share;
      out.file_depth = depth / v.lean;
    }
  }
}

std::string degrees(double rad) {
  return base::say("{:.0f}°", base::to_deg(rad));
}

void judge(CutterFit& out, const JointView& v, const Cutter& cutter) {
  if (out.uncut > kSliver) {
    out.why_not =
        base::say("{} of the clock that should meet the target passes beside a cutter of {:.2f} mm.",
                  degrees(out.uncut), cutter.diameter);
  } else if (cutter.reach > 0 && v.length_along_cutter > cutter.reach) {
    out.why_not = base::say("It reaches {:.1f} mm along its axis, the cut is {:.1f} mm long.", cutter.reach,
                            v.length_along_cutter);
  }
  out.serves = out.why_not.empty();
}

}  // namespace

JointView view_of(const study::Mitre& mitre, const bike::Member& member, const bike::Member& target,
                  const Vec3& a, const Vec3& up) {
  JointView v;
  v.member = &member, v.target = &target, v.end = mitre.end, v.a = a;
  Vec3 middle = Vec3::Zero();
  for (const study::EdgePoint& p : mitre.outer) middle += p.point / static_cast<double>(mitre.outer.size());
  const double s = target.tube.centreline.nearest(middle);
  v.origin = target.tube.centreline.point(s);
  v.target_radius = target.tube.profile.width(s) / 2;
  const shape::Frame f =
      member.tube.centreline.at(mitre.end == bike::End::end ? mitre.s_most : mitre.s_least);
  const Vec3 out = mitre.end == bike::End::end ? Vec3(-f.t) : f.t;
  v.x = (out - out.dot(a) * a).normalized();
  v.lean = std::max(0.05, out.dot(v.x));
  v.y = a.cross(v.x);
  if (v.y.dot(up) < 0) v.y = -v.y;
  const std::size_t n = mitre.outer.size(), stride = std::max<std::size_t>(1, n / 120);
  double least = INFINITY, most = -INFINITY;
  for (std::size_t i = 0; i < n; ++i) {
    const study::EdgePoint& p = mitre.outer[i];
    least = std::min(least, p.point.dot(a)), most = std::max(most, p.point.dot(a));
    if (p.met) v.all.push_back(seen(v, p.point));
    const bool turns = p.met != mitre.outer[(i + 1) % n].met || p.met != mitre.outer[(i + n - 1) % n].met;
    if (i % stride != 0 && !turns && !on_the_clock(p.u)) continue;
    v.some.push_back({p.u, p.s, p.point, seen(v, p.point), 0, p.met});
    if (p.met) v.few.push_back(v.some.back().q);
  }
  v.length_along_cutter = most - least;
  const std::size_t inner_stride = std::max<std::size_t>(1, mitre.inner.size() / 60);
  for (std::size_t i = 0; i < mitre.inner.size(); ++i) {
    if (!mitre.inner[i].met) continue;
    v.all.push_back(seen(v, mitre.inner[i].point));
    if (i % inner_stride == 0) v.few.push_back(v.all.back());
  }
  for (std::size_t i = 0, m = v.some.size(); i < m; ++i) {
    const double before = v.some[(i + m - 1) % m].u - (i == 0 ? kTurn : 0);
    const double after = v.some[(i + 1) % m].u + (i + 1 == m ? kTurn : 0);
    v.some[i].share = 0.5 * (after - before);
  }
  return v;
}

CutterFit fit(const JointView& view, const Cutter& cutter, double gap) {
  const double r = cutter.diameter / 2;
  CutterFit out;
  out.name = cutter.name, out.diameter = cutter.diameter;
  out.shift_side = best_side(view, r);
  out.shift_back = back_for(view.all, r, out.shift_side);
  const Vec2 centre(out.shift_back, out.shift_side);
  out.axis_point = view.origin + centre.x() * view.x + centre.y() * view.y;
  const shape::TubeReader tube(view.member->tube), target(view.target->tube);
  std::vector<double> back;
  for (const SeenPoint& point : view.some) {
    GapPoint g{point.u, NAN, NAN, Reached::uncut};
    const Edge edge = edge_at(view, tube, point, centre, r);
    // a passing generator that the cutter leaves longer than the axis plane is left to the hand
    if (edge.found && (point.met || edge.along > 0)) {
      g.reached = point.met ? Reached::met : Reached::beside;
      g.along = std::max(0.0, edge.along);
      g.gap = point.met ? std::max(0.0, shape::level(target, edge.p).value) : g.along;
    } else if (point.met) {
      out.uncut += point.share;
    }
    back.push_back(edge.found ? (edge.p - point.p).dot(view.x) : NAN);
    if (g.reached == Reached::met && g.gap > out.greatest_gap) out.greatest_gap = g.gap, out.u_greatest = g.u;
    out.gaps.push_back(g);
  }
  if (out.greatest_gap > gap) plan_filing(out, view, back, gap);
  judge(out, view, cutter);
  return out;
}

}  // namespace halfround::shop
