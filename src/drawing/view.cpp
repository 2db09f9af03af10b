#include "drawing/view.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "paper/thinned.h"

namespace halfround::drawing {

namespace {

constexpr double kStep = 1.5;  // mm along a member: chord error on the tightest bend stays below 0.01 mm
constexpr double kTurn = 2 * base::kPi;
constexpr double kSquare = 1e-10;  // cosine to the eye that counts as none: 1e-9 mm on a tube

double facing(const shape::SurfacePoint& q, const View& view) {
  return q.normal().dot(view.toward);
}

constexpr int kCoarse = 24;  // clock angles looked at to find where the sign changes

const std::array<Vec2, kCoarse>& coarse_angles() {
  static const auto all = [] {
    std::array<Vec2, kCoarse> out;
    for (int i = 0; i < kCoarse; ++i) out[static_cast<std::size_t>(i)] = base::unit_at(kTurn * i / kCoarse);
    return out;
  }();
  return all;
}

/// Where the surface turns away from the eye, at one place along a tube.
class Turning {
 public:
  /// in  frame  the tube's at s
  Turning(const shape::Tube& tube, const shape::Frame& frame, const View& view, double s)
      : tube_(tube), frame_(frame), view_(view), s_(s) {}

  /// Clock angles, one on each side of the tangent.
  [[nodiscard]] std::vector<double> angles() const {
    std::array<double, kCoarse + 1> f{};
    for (std::size_t i = 0; i < kCoarse; ++i) f[i] = facing_at(coarse_angles()[i]);
    f[kCoarse] = f[0];
    std::vector<double> out;
    for (std::size_t i = 0; i < kCoarse; ++i) {
      if ((f[i] > 0) == (f[i + 1] > 0)) continue;
      const double u = kTurn * static_cast<double>(i) / kCoarse;
      out.push_back(between({u, f[i]}, {u + kTurn / kCoarse, f[i + 1]}));
    }
    return out;
  }

  /// The same from those a little before, where the section is convex and has just these two.
  [[nodiscard]] std::vector<double> angles(const std::vector<double>& before) const {
    constexpr double kNear = 0.05;  // rad
    if (before.size() != 2 || !tube_.profile.convex()) return angles();
    std::vector<double> out;
    for (const double u : before) {
      const Place a = place(u - kNear), b = place(u + kNear);
      if ((a.facing > 0) == (b.facing > 0)) return angles();
      out.push_back(between(a, b));
    }
    return out;
  }

 private:
  struct Place {
    double u, facing;
  };
  [[nodiscard]] double facing_at(const Vec2& e) const {
    return facing(shape::surface(frame_, tube_.profile.at(e, s_), e), view_);
  }
  [[nodiscard]] Place place(double u) const { return {u, facing_at(base::unit_at(u))}; }

  /// The sign changes from a to b.
  [[nodiscard]] double between(Place a, Place b) const {
    const auto meeting = [&] { return a.u + (b.u - a.u) * a.facing / (a.facing - b.facing); };
    for (int k = 0; k < 12; ++k) {
      const Place m = place(k % 4 == 3 ? 0.5 * (a.u + b.u) : meeting());
      if (std::abs(m.facing) < kSquare) return m.u;
      ((m.facing > 0) == (a.facing > 0) ? a : b) = m;
    }
    return meeting();
  }

  const shape::Tube& tube_;
  const shape::Frame& frame_;
  const View& view_;
  double s_;
};

/// Arc length of a cut at clock angle u, between the points of its edge.
double cut_at(const std::vector<study::EdgePoint>& edge, double u) {
  u -= kTurn * std::floor(u / kTurn);
  const auto it = std::upper_bound(edge.begin(), edge.end(), u,
                                   [](double v, const study::EdgePoint& q) { return v < q.u; });
  const study::EdgePoint& a = it == edge.begin() ? edge.back() : *(it - 1);
  const study::EdgePoint& b = it == edge.end() ? edge.front() : *it;
  const double ua = it == edge.begin() ? a.u - kTurn : a.u, ub = it == edge.end() ? b.u + kTurn : b.u;
  return ub > ua ? a.s + (b.s - a.s) * (u - ua) / (ub - ua) : a.s;
}

}  // namespace

bool within(const Trimmed& part, const Vec3& p) {
  if (!part.reach.contains(p)) return false;
  const shape::Level l = shape::level(part.member->tube, p);
  return l.value < -0.05 && l.s > part.member->s_start && l.s < part.member->s_end;
}

bool within(const bike::Plate& plate, const Vec3& p) {
  const Vec3 q = plate.X_FP.inverse() * p;
  if (std::abs(q.z()) > plate.thickness / 2 - 0.05) return false;
  bool inside = false;
  for (std::size_t i = 0, n = plate.outline.size(); i < n; ++i) {
    const Vec3 a = plate.X_FP.inverse() * plate.outline[i],
               b = plate.X_FP.inverse() * plate.outline[(i + 1) % n];
    if ((a.y() > q.y()) != (b.y() > q.y()) &&
        q.x() < (b.x() - a.x()) * (q.y() - a.y()) / (b.y() - a.y()) + a.x())
      inside = !inside;
  }
  return inside;
}

namespace {

Eigen::AlignedBox3d reach_of(const bike::Member& m) {
  constexpr double kApart = 25;  // mm
  const shape::TubeReader tube(m.tube);
  const int n = std::max(1, static_cast<int>(std::ceil((m.s_end - m.s_start) / kApart)));
  Eigen::AlignedBox3d out;
  for (int i = 0; i <= n; ++i) out.extend(tube.frame(m.s_start + (m.s_end - m.s_start) * i / n).c);
  const Vec3 all_round = Vec3::Constant(m.tube.profile.max_radius() + kApart / 2);
  return {out.min() - all_round, out.max() + all_round};
}

}  // namespace

std::vector<Trimmed> trimmed(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres) {
  std::vector<Trimmed> out;
  for (const bike::Member& m : assembly.members) {
    Trimmed t{&m, nullptr, nullptr, reach_of(m)};
    for (const study::Mitre& cut : mitres) {
      if (cut.member != m.part) continue;
      (cut.end == bike::End::start ? t.at_start : t.at_end) = &cut;
    }
    out.push_back(t);
  }
  return out;
}

std::vector<Side> sides(const Trimmed& part, const View& view, const std::vector<Trimmed>& others,
                        const std::vector<bike::Plate>& plates) {
  const bike::Member& m = *part.member;
  const double from = part.at_start ? part.at_start->s_least : m.s_start;
  const double to = part.at_end ? part.at_end->s_most : m.s_end;
  struct Run {
    std::vector<Vec3> points;
  };
  std::array<Run, 2> run;
  const int n = std::max(2, static_cast<int>(std::ceil((to - from) / kStep)));
  const shape::TubeReader tube(m.tube);
  std::vector<double> angles;
  for (int i = 0; i <= n; ++i) {
    const double s = from + (to - from) * i / n;
    const shape::Frame f = tube.frame(s);
    const Vec3 across = view.toward.cross(f.t);
    angles = Turning(m.tube, f, view, s).angles(angles);
    for (const double u : angles) {
      const double lo = part.at_start ? cut_at(part.at_start->outer, u) : m.s_start;
      const double hi = part.at_end ? cut_at(part.at_end->outer, u) : m.s_end;
      const bool before = s<lo, after = s> hi;
      if ((before && s < lo - (to - from) / n) || (after && s > hi + (to - from) / n)) continue;
      const double at = std::clamp(s, lo, hi);
      const shape::Frame here = at == s ? f : tube.frame(at);
      const Vec2 e = base::unit_at(u);
      const Vec3 p = shape::surface(here, m.tube.profile.at(e, at), e).p;
      Run& r = run[(p - here.c).dot(across) > 0 ? 1 : 0];
      r.points.push_back(p);
    }
  }
  std::vector<Side> out;
  for (const Run& r : run) {
    for (const Vec3& p : r.points) {
      const bool hidden = std::any_of(others.begin(), others.end(),
                                      [&](const Trimmed& o) { return o.member != &m && within(o, p); }) ||
                          std::any_of(plates.begin(), plates.end(),
                                      [&](const bike::Plate& plate) { return within(plate, p); });
      if (out.empty() || &p == r.points.data() || out.back().hidden != hidden) {
        const bool goes_on = !out.empty() && &p != r.points.data();
        const Vec2 joint = goes_on ? out.back().points.back() : view(p);
        out.push_back({{joint}, hidden});
      }
      out.back().points.push_back(view(p));
    }
  }
  for (Side& side : out) side.points = thinned(side.points, kForTheEye);
  return out;
}

std::vector<Side> edge(const study::Mitre& mitre, const bike::Member& member, const View& view) {
  std::vector<Side> out;
  const std::size_t n = mitre.outer.size();
  for (std::size_t i = 0; i <= n; ++i) {
    const study::EdgePoint& q = mitre.outer[i % n];
    const bool far = facing(shape::surface(member.tube, base::unit_at(q.u), q.s), view) < 0;
    const Vec2 p = view(q.point);
    if (out.empty() || out.back().hidden != far) {
      if (!out.empty()) out.back().points.push_back(p);
      out.push_back({{}, far});
    }
    out.back().points.push_back(p);
  }
  for (Side& side : out) side.points = thinned(side.points, kForTheEye);
  return out;
}

std::vector<Vec2> ring(const shape::Tube& tube, double s, const View& view) {
  std::vector<Vec2> out;
  constexpr int n = 120;
  for (int i = 0; i < n; ++i) out.push_back(view(shape::surface(tube, base::unit_at(kTurn * i / n), s).p));
  return out;
}

std::vector<Vec2> centreline(const shape::Tube& tube, double s0, double s1, const View& view) {
  std::vector<Vec2> out;
  const int n = std::max(1, static_cast<int>(std::ceil((s1 - s0) / kStep)));
  for (int i = 0; i <= n; ++i) out.push_back(view(tube.centreline.point(s0 + (s1 - s0) * i / n)));
  return thinned(out, kForTheEye);
}

namespace {

/// A wheel's section and where it turns.
struct Turned {
  std::vector<Vec2> section;  ///< radius from the axis, place along it; its bulge outward, by place
  Vec3 centre, axis;

  /// The point that lies farthest in direction d.
  [[nodiscard]] Vec3 farthest(const Vec3& d) const {
    const double along = d.dot(axis);
    const Vec3 out = d - along * axis;
    const double across = out.norm();
    const auto reach = [&](const Vec2& q) { return q.x() * across + q.y() * along; };
    // along a bulge it rises, then falls
    const auto best = std::partition_point(section.begin(), section.end() - 1,
                                           [&](const Vec2& q) { return reach(*(&q + 1)) > reach(q); });
    const Vec3 middle = centre + best->y() * axis;  // seen along the axis it is as good as the whole ring
    return across < 1e-12 ? middle : Vec3(middle + best->x() / across * out);
  }
};

/// Those of the points, each (radius, place), that some direction away from the axis reaches first.
std::vector<Vec2> bulge(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(),
            [](const Vec2& a, const Vec2& b) { return a.y() != b.y() ? a.y() < b.y() : a.x() < b.x(); });
  std::vector<Vec2> out;
  for (const Vec2& q : points) {
    const auto dents = [&] {
      const Vec2 &a = out[out.size() - 2], &b = out.back();
      return (b.x() - a.x()) * (q.y() - a.y()) <= (q.x() - a.x()) * (b.y() - a.y());
    };
    while (out.size() >= 2 && dents()) out.pop_back();
    out.push_back(q);
  }
  return out;
}

Turned turned(const shape::Tube& wheel) {
  constexpr int kAround = 120;
  const shape::Frame f = wheel.centreline.at(0);
  const double middle = 1 / wheel.centreline.pieces().front().curvature;
  const Vec3 out = -f.k.normalized();  // from the axis
  Turned t{{}, f.c - middle * out, f.t.cross(out).normalized()};
  for (int k = 0; k < kAround; ++k) {
    const Vec2 e = base::unit_at(kTurn * k / kAround);
    const Vec3 q = wheel.profile.at(e, 0).r * (e.x() * f.m + e.y() * f.b);
    t.section.emplace_back(middle + q.dot(out), q.dot(t.axis));
  }
  t.section = bulge(std::move(t.section));
  return t;
}

}  // namespace

std::vector<Vec2> hull(const shape::Tube& wheel, const View& view) {
  constexpr int kStart = 16;       // directions
  constexpr double kFlat = 0.004;  // mm: no chord lies farther inside than this
  constexpr double kLeast = 1e-7;  // rad
  const Turned t = turned(wheel);
  const auto farthest = [&](double angle) {
    const Vec2 d = base::unit_at(angle);
    return view(t.farthest(d.x() * view.right + d.y() * view.up));
  };
  std::vector<Vec2> out;
  const auto between = [&](const auto& self, double a, const Vec2& p, double b, const Vec2& q) -> void {
    // the outline stays within the triangle of the chord and the tangents at its ends
    if (b - a < kLeast || (q - p).norm() / 2 * std::tan((b - a) / 2) < kFlat) return;
    const double m = 0.5 * (a + b);
    const Vec2 r = farthest(m);
    self(self, a, p, m, r);
    out.push_back(r);
    self(self, m, r, b, q);
  };
  for (int i = 0; i < kStart; ++i) {
    const double a = base::kPi + kTurn * i / kStart, b = base::kPi + kTurn * (i + 1) / kStart;
    const Vec2 p = farthest(a), q = farthest(b);
    out.push_back(p);
    between(between, a, p, b, q);
  }
  out.erase(
      std::unique(out.begin(), out.end(), [](const Vec2& p, const Vec2& q) { return (p - q).norm() < 1e-9; }),
      out.end());
  return out;
}

}  // namespace halfround::drawing
