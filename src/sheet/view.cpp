#include "sheet/view.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfround::sheet {

namespace {

constexpr double kStep = 1.5;  // mm along a member: chord error on the tightest bend stays below 0.01 mm
constexpr double kTurn = 2 * base::kPi;
constexpr double kSquare = 1e-10;  // cosine to the eye that counts as none: 1e-9 mm on a tube

double facing(const shape::Tube& tube, const View& view, double u, double s) {
  return shape::surface(tube, base::unit_at(u), s).normal().dot(view.toward);
}

/// Clock angles where the surface turns away from the eye at s, one on each side of the tangent.
std::vector<double> turning_angles(const shape::Tube& tube, const View& view, double s) {
  constexpr int n = 24;
  std::array<double, n + 1> f{};
  for (int i = 0; i < n; ++i) f[static_cast<std::size_t>(i)] = facing(tube, view, kTurn * i / n, s);
  f[n] = f[0];
  std::vector<double> out;
  for (int i = 0; i < n; ++i) {
    double f0 = f[static_cast<std::size_t>(i)], f1 = f[static_cast<std::size_t>(i + 1)];
    if ((f0 > 0) == (f1 > 0)) continue;
    double u0 = kTurn * i / n, u1 = kTurn * (i + 1) / n;
    for (int k = 0; k < 12; ++k) {
      const double u = k % 4 == 3 ? 0.5 * (u0 + u1) : u0 + (u1 - u0) * f0 / (f0 - f1);
      const double fu = facing(tube, view, u, s);
      if (std::abs(fu) < kSquare) {
        u0 = u1 = u, f0 = f1 = 0;
        break;
      }
      if ((fu > 0) == (f0 > 0))
        u0 = u, f0 = fu;
      else
        u1 = u, f1 = fu;
    }
    out.push_back(f1 != f0 ? u0 + (u1 - u0) * f0 / (f0 - f1) : 0.5 * (u0 + u1));
  }
  return out;
}

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

std::vector<Trimmed> trimmed(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres) {
  std::vector<Trimmed> out;
  for (const bike::Member& m : assembly.members) {
    Trimmed t{&m, nullptr, nullptr};
    for (const study::Mitre& cut : mitres) {
      if (cut.member != m.name) continue;
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
    std::vector<double> s, u;
  };
  std::array<Run, 2> run;
  const int n = std::max(2, static_cast<int>(std::ceil((to - from) / kStep)));
  for (int i = 0; i <= n; ++i) {
    const double s = from + (to - from) * i / n;
    const shape::Frame f = m.tube.centreline.at(s);
    const Vec3 across = view.toward.cross(f.t);
    for (const double u : turning_angles(m.tube, view, s)) {
      const double lo = part.at_start ? cut_at(part.at_start->outer, u) : m.s_start;
      const double hi = part.at_end ? cut_at(part.at_end->outer, u) : m.s_end;
      const bool before = s<lo, after = s> hi;
      if ((before && s < lo - (to - from) / n) || (after && s > hi + (to - from) / n)) continue;
      const double at = std::clamp(s, lo, hi);
      const Vec3 p = shape::surface(m.tube, base::unit_at(u), at).p;
      Run& r = run[(p - m.tube.centreline.point(at)).dot(across) > 0 ? 1 : 0];
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
  return out;
}

std::vector<Side> edge(const study::Mitre& mitre, const bike::Member& member, const View& view) {
  std::vector<Side> out;
  const std::size_t n = mitre.outer.size();
  for (std::size_t i = 0; i <= n; ++i) {
    const study::EdgePoint& q = mitre.outer[i % n];
    const bool far = facing(member.tube, view, q.u, q.s) < 0;
    const Vec2 p = view(q.point);
    if (out.empty() || out.back().hidden != far) {
      if (!out.empty()) out.back().points.push_back(p);
      out.push_back({{}, far});
    }
    out.back().points.push_back(p);
  }
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
  return out;
}

namespace {

/// The convex hull, counter-clockwise from the leftmost point (monotone chain).
std::vector<Vec2> hull_of(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(),
            [](const Vec2& a, const Vec2& b) { return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y()); });
  const auto turn = [](const Vec2& o, const Vec2& a, const Vec2& b) {
    return (a.x() - o.x()) * (b.y() - o.y()) - (a.y() - o.y()) * (b.x() - o.x());
  };
  std::vector<Vec2> out;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = out.size();
    for (const Vec2& p : points) {
      while (out.size() >= start + 2 && turn(out[out.size() - 2], out.back(), p) <= 0) out.pop_back();
      out.push_back(p);
    }
    out.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return out;
}

/// Tells quickly that a point lies inside a convex polygon: between its lower and upper sides, looked up by
/// x.
class Inside {
 public:
  explicit Inside(const std::vector<Vec2>& hull) {
    const auto right = std::max_element(hull.begin(), hull.end(),
                                        [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
    lower_.assign(hull.begin(), right + 1);
    upper_.assign(right, hull.end());
    upper_.push_back(hull.front());
    std::reverse(upper_.begin(), upper_.end());
  }
  [[nodiscard]] bool operator()(const Vec2& p) const {
    constexpr double kSurely = 1e-9;  // mm; nearer than that it is kept
    return p.y() > at(lower_, p.x()) + kSurely && p.y() < at(upper_, p.x()) - kSurely;
  }

 private:
  /// NaN, for which no comparison holds, beyond its ends.
  static double at(const std::vector<Vec2>& side, double x) {
    const auto next =
        std::upper_bound(side.begin(), side.end(), x, [](double v, const Vec2& p) { return v < p.x(); });
    if (next == side.begin() || next == side.end()) return NAN;
    const Vec2 &a = *(next - 1), &b = *next;
    return a.y() + (b.y() - a.y()) * (x - a.x()) / (b.x() - a.x());
  }
  std::vector<Vec2> lower_, upper_;
};

}  // namespace

std::vector<Vec2> hull(const shape::Tube& wheel, const View& view) {
  constexpr int along = 720, around = 120, coarse = 12;
  std::vector<Vec2> section;  // the same at every place of the wheel
  for (int k = 0; k < around; ++k) {
    const Vec2 e = base::unit_at(kTurn * k / around);
    section.push_back(wheel.profile.at(e, 0).r * e);
  }
  const auto ring_at = [&](int i, const auto& take) {
    const shape::Frame f = wheel.centreline.at(wheel.length() * i / along);
    for (const Vec2& q : section) take(view(f.c + q.x() * f.m + q.y() * f.b));
  };
  // what lies inside the hull of a few rings is no corner of the hull of them all
  std::vector<Vec2> points;
  for (int i = 0; i < along; i += coarse) ring_at(i, [&](const Vec2& p) { points.push_back(p); });
  points = hull_of(std::move(points));
  const Inside inside(points);
  for (int i = 0; i < along; ++i) {
    if (i % coarse == 0) continue;
    ring_at(i, [&](const Vec2& p) {
      if (!inside(p)) points.push_back(p);
    });
  }
  return hull_of(std::move(points));
}

}  // namespace halfround::sheet
