#include "shape/cut.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"

namespace halfround::shape {

namespace {

constexpr int kRays = 72;  // generators looked at first; the rest are put where the curve needs them
constexpr double kLeastStep =
    0.02;                        // mm; a graze shorter than this is found as a turning point, not as a hit
constexpr double kNear = 1.0;    // mm; from here on Newton finds the root faster than careful steps
constexpr int kDeepest = 30;     // halvings between two generators
constexpr double kGraze = 1e-6;  // rad; passing beside over less than this is touching
constexpr double kAim = 0.85 * kChordTol;  // chords are laid out for this, so that few need a second look

/// One generator, followed.
struct Ray {
  double u = 0;
  Vec2 e = Vec2::UnitX();
  bool met = false;
  double s = 0;
  Vec3 p = Vec3::Zero();
  double dsdu = 0;                    // of the curve, where met
  Vec3 d = Vec3::Zero();              // dp/du of the curve, where met
  double nearest = 0, s_nearest = 0;  // smallest level seen, where not met
};

struct Value {
  double g, dg;
  SurfacePoint at;
  Vec3 gradient;
};

class Tracer {
 public:
  Tracer(const Tube& member, const Tube& target, const CutSearch& search)
      : member_(member), target_(target), search_(search) {
    const double bend = member.centreline.max_curvature() * member.profile.max_radius();
    slope_ = level_slope_bound(target) * (1 + bend) * 1.02;
    single_root_ = member.centreline.straight() && target.centreline.straight() && target.profile.convex();
  }

  base::Result<Cut> run();

 private:
  [[nodiscard]] Value value(const Vec2& e, double s) const {
    Value v;
    v.at = surface(member_, e, s);
    const Level l = level(target_, v.at.p);
    v.g = l.value, v.dg = l.gradient.dot(v.at.ps), v.gradient = l.gradient;
    return v;
  }
  [[nodiscard]] double behind_plane(const Vec3& p) const {
    return (p - cut_.plane_point).dot(cut_.plane_normal);
  }
  [[nodiscard]] base::Result<void> find_plane();
  void settle(Ray& ray, double s, const Value& v) const;
  [[nodiscard]] bool newton(Ray& ray, double s) const;
  void bracketed(Ray& ray, double outside, double inside) const;
  void follow(Ray& ray) const;
  void stop_at_plane(Ray& ray, double s) const;
  [[nodiscard]] Ray between(const Ray& a, const Ray& b, double x, const Vec2& e) const;
  [[nodiscard]] std::pair<double, double> dip(const Vec2& e, double s) const;
  [[nodiscard]] bool passes(Ray& ray, const Ray& neighbour) const;
  [[nodiscard]] Ray turning_point(const Ray& met, const Ray& missed) const;
  void heal_grazes();
  void emit(const Ray& ray) { cut_.points.push_back({ray.u, ray.e, ray.s, ray.p, ray.met}); }
  void refine(const Ray& a, const Ray& b, int depth);
  void refine_met(const Ray& a, const Ray& b, int depth);
  void refine_missed(const Ray& a, const Ray& b, int depth);
  [[nodiscard]] std::vector<Ray> toward_turning_point(const Ray& met, const Ray& turn) const;
  void around_turning_point(const Ray& met, const Ray& missed, bool met_first, int depth);

  TubeReader member_, target_;
  CutSearch search_;
  double slope_ = 1;
  bool single_root_ = false;
  Cut cut_;
};

/// One of the generators looked at first, which tables go by.
bool on_fifth(double u) {
  const double rays = u * kRays / (2 * base::kPi);
  return std::abs(rays - std::round(rays)) < 1e-9;
}

double distance_from_chord(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 d = b - a;
  const double l2 = d.squaredNorm();
  if (l2 == 0) return (p - a).norm();
  return (p - a - (p - a).dot(d) / l2 * d).norm();
}

/// The plane through the target's axis, facing the member as it comes in.
base::Result<void> Tracer::find_plane() {
  double best = INFINITY, s_best = search_.s_limit;
  const auto from_axis = [&](const Frame& f) -> Vec3 { return f.c - target_.frame(target_.nearest(f.c)).c; };
  const double step = 5;
  for (double s = search_.s_body; s <= search_.s_limit; s += step) {
    const double d = from_axis(member_.frame(s)).squaredNorm();
    if (d < best) best = d, s_best = s;
  }
  // the two centrelines are nearest where the way between them is square to the member
  double lo = std::max(search_.s_body, s_best - step), hi = std::min(search_.s_limit, s_best + step);
  while (hi - lo > 1e-8) {
    const double s = 0.5 * (lo + hi);
    const Frame f = member_.frame(s);
    (from_axis(f).dot(f.t) < 0 ? lo : hi) = s;
  }
  const Frame f = member_.frame(0.5 * (lo + hi));
  const Frame axis = target_.frame(target_.nearest(f.c));
  const Vec3 n = f.t - f.t.dot(axis.t) * axis.t;
  if (n.norm() < 0.05) {
    return tl::unexpected(
        base::Problem{"mitre-parallel",
                      {},
                      "The tube runs along the one it should be mitred onto, so there is no mitre.",
                      "It needs at least 3 degrees between the two axes."});
  }
  cut_.plane_point = axis.c;
  const Vec3 facing = search_.facing - search_.facing.dot(axis.t) * axis.t;
  cut_.plane_normal = facing.norm() > 0.05 ? facing.normalized() : n.normalized();
  return {};
}

/// Writes a found root into the ray; the last small step is taken along the tangent.
void Tracer::settle(Ray& ray, double s, const Value& v) const {
  const double ds = -v.g / v.dg;
  ray.met = true;
  ray.s = s + ds;
  ray.p = v.at.p + ds * v.at.ps;
  ray.dsdu = -v.gradient.dot(v.at.pu) / v.dg;
  ray.d = v.at.pu + ray.dsdu * v.at.ps;
}

/// Newton from s; accepts only a root where the generator goes *into* the target.
bool Tracer::newton(Ray& ray, double s) const {
  for (int i = 0; i < 8; ++i) {
    const Value v = value(ray.e, s);
    if (v.dg > -1e-4) return false;
    const double ds = -v.g / v.dg;
    if (std::abs(ds) < -1e-5 * v.dg) {  // squared far below kCutTol
      settle(ray, s, v);
      return true;
    }
    if (std::abs(ds) > 20) return false;
    s += ds;
  }
  return false;
}

/// Newton kept between a point outside and a point inside.
void Tracer::bracketed(Ray& ray, double outside, double inside) const {
  double s = 0.5 * (outside + inside);
  for (int i = 0; i < 100; ++i) {
    const Value v = value(ray.e, s);
    (v.g > 0 ? outside : inside) = s;
    double next = v.dg < 0 ? s - v.g / v.dg : INFINITY;
    if (std::abs(next - s) < 1e-7 && v.dg < 0) {
      settle(ray, s, v);
      return;
    }
    if (!(next > std::min(outside, inside) && next < std::max(outside, inside)))
      next = 0.5 * (outside + inside);
    if (std::abs(inside - outside) < 1e-13 * std::max(1.0, std::abs(s))) {
      ray.met = true, ray.s = s, ray.p = v.at.p;
      ray.dsdu = v.dg != 0 ? -v.gradient.dot(v.at.pu) / v.dg : 0;
      ray.d = v.at.pu + ray.dsdu * v.at.ps;
      return;
    }
    s = next;
  }
  ray.met = true, ray.s = s, ray.p = surface(member_, ray.e, s).p;
}

/// From the body outward in steps that can't jump over the surface, until it is met or the plane is passed.
void Tracer::follow(Ray& ray) const {
  double s = search_.s_body, s_before = s;
  ray.met = false;
  ray.nearest = INFINITY;
  while (true) {
    const Value v = value(ray.e, s);
    if (v.g < ray.nearest) ray.nearest = v.g, ray.s_nearest = s;
    if (v.g <= 0) return bracketed(ray, s_before, s);
    if (v.g < kNear && v.dg < -0.3) {
      Ray tried = ray;
      if (newton(tried, s) && tried.s >= s && tried.s - s < 4 * kNear) {
        ray = tried;
        return;
      }
    }
    if (s > search_.s_limit || (behind_plane(v.at.p) > kNear && v.dg > 0)) break;
    s_before = s;
    s += std::max(v.g / slope_, kLeastStep);
  }
  stop_at_plane(ray, ray.s_nearest);
}

void Tracer::stop_at_plane(Ray& ray, double s) const {
  ray.met = false;
  for (int i = 0; i < 50; ++i) {
    const SurfacePoint q = surface(member_, ray.e, s);
    const double h = behind_plane(q.p), dh = q.ps.dot(cut_.plane_normal);
    ray.s = s, ray.p = q.p;
    if (std::abs(h) < 1e-12 || std::abs(dh) < 1e-3) return;
    s -= std::clamp(h / dh, -20.0, 20.0);
  }
}

/// A generator between two that are met, x of the way from a to b, started from the cubic through both.
Ray Tracer::between(const Ray& a, const Ray& b, double x, const Vec2& e) const {
  const double h = b.u - a.u, y = 1 - x;
  Ray m;
  m.u = a.u + x * h;
  m.e = e;
  const double s =
      y * y * ((1 + 2 * x) * a.s + x * h * a.dsdu) + x * x * ((1 + 2 * y) * b.s - y * h * b.dsdu);
  // a root far from where it should be may lie on another branch: then look from the body
  if (newton(m, s) && (single_root_ || std::abs(m.s - s) < 0.5 + std::abs(a.s - b.s))) return m;
  follow(m);
  return m;
}

/// How far the curve between two met generators may leave its chord, mm: exact for a parabola, generous for
/// an S.
double sagitta(const Ray& a, const Ray& b) {
  const Vec3 chord = b.p - a.p;
  const double l2 = chord.squaredNorm();
  const auto across = [&](const Vec3& d) {
    const double along = d.dot(chord);
    return std::sqrt(std::max(0.0, d.squaredNorm() - (l2 > 0 ? along * along / l2 : 0)));
  };
  return (b.u - a.u) / 8 * (across(a.d) + across(b.d));
}

/// Where along a generator the level is least, near s, and how little. The level is flat there: 1e-8 along
/// the generator is 1e-16 of level.
std::pair<double, double> Tracer::dip(const Vec2& e, double s) const {
  double lo = s, hi = s, step = 0.5;
  double f_lo = value(e, s).dg, f_hi = f_lo;
  for (; f_lo > 0 && step < 100; step *= 2) hi = lo, f_hi = f_lo, lo -= step, f_lo = value(e, lo).dg;
  for (; f_hi < 0 && step < 100; step *= 2) lo = hi, f_lo = f_hi, hi += step, f_hi = value(e, hi).dg;
  for (int i = 0; i < 100 && hi - lo > 1e-8; ++i) {
    double mid = f_hi != f_lo ? lo - f_lo * (hi - lo) / (f_hi - f_lo) : 0.5 * (lo + hi);
    if (i % 3 == 2 || !(mid > lo && mid < hi)) mid = 0.5 * (lo + hi);
    const double f = value(e, mid).dg;
    if (std::abs(f) < 1e-10) return {mid, value(e, mid).g};
    if (f < 0) lo = mid, f_lo = f;
    if (f > 0) hi = mid, f_hi = f;
  }
  const double at = 0.5 * (lo + hi);
  return {at, value(e, at).g};
}

/// True where a generator passes beside the target as its neighbour does; fills in where. Only for straight
/// tubes, where the level has one dip: elsewhere every generator is walked from the body.
bool Tracer::passes(Ray& ray, const Ray& neighbour) const {
  if (!single_root_ || neighbour.met) return false;
  const auto [s, g] = dip(ray.e, neighbour.s_nearest);
  if (g <= 0) return false;
  ray.nearest = g, ray.s_nearest = s;
  stop_at_plane(ray, s);
  return true;
}

/// The generator that just touches, between one that is met and one that passes.
Ray Tracer::turning_point(const Ray& met, const Ray& missed) const {
  double u0 = met.u, u1 = missed.u;
  auto d0 = dip(base::unit_at(u0), met.s), d1 = dip(base::unit_at(u1), missed.s_nearest);
  double g0 = std::min(d0.second, 0.0), g1 = std::max(d1.second, 0.0);
  double s = d0.first;
  for (int i = 0; i < 200 && std::abs(u1 - u0) > 1e-15; ++i) {
    double u = g1 != g0 ? u0 - g0 * (u1 - u0) / (g1 - g0) : 0.5 * (u0 + u1);
    if (i % 3 == 2 || !(u > std::min(u0, u1) && u < std::max(u0, u1))) u = 0.5 * (u0 + u1);
    const auto d = dip(base::unit_at(u), s);
    s = d.first;
    const bool touches = std::abs(d.second) < 1e-13;
    if (d.second <= 0 || touches) u0 = u, g0 = std::min(d.second, 0.0);
    if (d.second > 0) u1 = u, g1 = d.second;
    if (touches) break;
  }
  Ray turn;
  turn.u = u0;
  turn.e = base::unit_at(u0);
  turn.met = true;
  turn.s = dip(turn.e, s).first;
  turn.p = surface(member_, turn.e, turn.s).p;
  return turn;
}

void Tracer::refine(const Ray& a, const Ray& b, int depth) {
  if (a.met && b.met) return refine_met(a, b, depth);
  if (!a.met && !b.met) return refine_missed(a, b, depth);
  if (std::abs(b.u - a.u) < 1e-13) return;
  around_turning_point(a.met ? a : b, a.met ? b : a, a.met, depth);
}

/// Puts as many generators between two met ones as the chord tolerance asks for; looks again where that was
/// too few.
void Tracer::refine_met(const Ray& a, const Ray& b, int depth) {
  const double bow = sagitta(a, b);
  if (bow < 0.95 * kChordTol || depth >= kDeepest || b.u - a.u < 1e-13) return;
  const int parts = static_cast<int>(std::ceil(std::sqrt(std::min(bow, 64 * kAim) / kAim)));
  const Vec2 turn = base::unit_at((b.u - a.u) / parts);
  Ray before = a;
  for (int i = 1; i < parts; ++i) {
    const Vec2& e = before.e;
    const Vec2 next_e(e.x() * turn.x() - e.y() * turn.y(), e.y() * turn.x() + e.x() * turn.y());
    const Ray next = between(a, b, static_cast<double>(i) / parts, next_e);
    refine(before, next, depth + 1);
    emit(next);
    before = next;
  }
  refine(before, b, depth + 1);
}

void Tracer::refine_missed(const Ray& a, const Ray& b, int depth) {
  Ray m;
  m.u = 0.5 * (a.u + b.u);
  m.e = (a.e + b.e).normalized();
  const bool may_touch = std::min(a.nearest, b.nearest) < 0.5 && depth < 3;
  if (may_touch) {
    if (!passes(m, a)) follow(m);
    if (m.met) {
      refine(a, m, depth + 1);
      emit(m);
      return refine(m, b, depth + 1);
    }
  } else {
    m.nearest = std::min(a.nearest, b.nearest);
    m.s_nearest = 0.5 * (a.s_nearest + b.s_nearest);
    stop_at_plane(m, 0.5 * (a.s + b.s));
  }
  const bool fine = distance_from_chord(m.p, a.p, b.p) < 2.5 * kChordTol && depth > 0;
  if (!fine && depth < kDeepest) refine_missed(a, m, depth + 1);
  emit(m);
  if (!fine && depth < kDeepest) refine_missed(m, b, depth + 1);
  if (depth == 0) cut_.passed_by += b.u - a.u;
}

/// Points between `met` and the turning point, in that order. There s goes like the root of u, so the spans
/// are halved in w, u = turn.u +- w^2, where the curve is smooth.
std::vector<Ray> Tracer::toward_turning_point(const Ray& met, const Ray& turn) const {
  struct Span {
    double w0, w1;
    Ray a, b;
    int depth;
  };
  const double sign = met.u < turn.u ? -1 : 1;
  std::vector<Ray> near;
  std::vector<Span> todo{{std::sqrt(std::abs(met.u - turn.u)), 0, met, turn, 0}};
  while (!todo.empty()) {
    const Span q = todo.back();
    todo.pop_back();
    Ray m;
    const double wm = 0.5 * (q.w0 + q.w1);
    m.u = turn.u + sign * wm * wm;
    m.e = base::unit_at(m.u);
    const double guess = 0.5 * (q.a.s + q.b.s);  // s is nearly straight in w
    bool met_here = newton(m, guess) && std::abs(m.s - guess) < 0.2 * std::abs(q.a.s - q.b.s);
    if (!met_here && wm > 1e-7) {
      const auto d = dip(m.e, turn.s);
      met_here = d.second < 0;
      double outside = d.first - 1;
      while (met_here && value(m.e, outside).g <= 0 && d.first - outside < 200) outside -= 2;
      if (met_here) bracketed(m, outside, d.first);
    }
    if (met_here) {
      const bool fine = distance_from_chord(m.p, q.a.p, q.b.p) < 2.5 * kChordTol && q.depth >= 2;
      if (!fine && q.depth < kDeepest) {
        todo.push_back({wm, q.w1, m, q.b, q.depth + 1});
        todo.push_back({q.w0, wm, q.a, m, q.depth + 1});
        continue;
      }
      near.push_back(m);
    }
    if (q.w1 > 0) near.push_back(q.b);
  }
  return near;
}

void Tracer::around_turning_point(const Ray& met, const Ray& missed, bool met_first, int depth) {
  const Ray turn = turning_point(met, missed);
  Ray beside = turn;
  stop_at_plane(beside, turn.s);
  beside.nearest = 0;
  beside.s_nearest = turn.s;
  const std::vector<Ray> near = toward_turning_point(met, turn);
  if (met_first) {
    for (const Ray& r : near) emit(r);
    emit(turn);
    emit(beside);
    refine_missed(beside, missed, depth + 1);
    cut_.passed_by += missed.u - beside.u;
  } else {
    refine_missed(missed, beside, depth + 1);
    cut_.passed_by += beside.u - missed.u;
    emit(beside);
    emit(turn);
    for (auto r = near.rbegin(); r != near.rend(); ++r) emit(*r);
  }
}

/// Where a tube has the target's own diameter, generators that just touch may seem to pass beside by a
/// rounding: over less than kGraze they touch. The point put there is within 1e-10 mm of the target.
void Tracer::heal_grazes() {
  std::vector<CutPoint>& p = cut_.points;
  for (std::size_t i = 1; i < p.size(); ++i) {
    if (p[i].met || !p[i - 1].met) continue;
    std::size_t end = i;
    while (end < p.size() && !p[end].met) ++end;
    if (end < p.size() && p[end].u - p[i].u < kGraze) {
      cut_.passed_by = std::max(0.0, cut_.passed_by - (p[end].u - p[i].u));
      for (std::size_t k = i; k < end; ++k)
        p[k].met = true, p[k].s = p[i - 1].s, p[k].p = surface(member_, p[k].e, p[k].s).p;
    }
    i = end;
  }
  const auto same = [](const CutPoint& a, const CutPoint& b) {
    return a.met && b.met && std::abs(a.u - b.u) < kGraze && (a.p - b.p).norm() < 1e-6 && !on_fifth(b.u);
  };
  p.erase(std::unique(p.begin(), p.end(), same), p.end());
  if (cut_.passed_by < kGraze) cut_.passed_by = 0;
}

base::Result<Cut> Tracer::run() {
  if (const auto plane = find_plane(); !plane) return tl::unexpected(plane.error());
  if (level(target_, member_.frame(search_.s_body).c).value <= 0) {
    return tl::unexpected(base::Problem{"mitre-starts-inside",
                                        {},
                                        "The tube already stands inside the one it should be mitred onto.",
                                        "Look at where the two are placed."});
  }
  cut_.points.reserve(1024);
  std::vector<Ray> rays(kRays + 1);
  for (int i = 0; i < kRays; ++i) {
    Ray& ray = rays[static_cast<std::size_t>(i)];
    ray.u = 2 * base::kPi * i / kRays;
    ray.e = base::unit_at(ray.u);
    const Ray* before = i > 0 ? &rays[static_cast<std::size_t>(i - 1)] : nullptr;
    const bool guess = before && before->met && (single_root_ || i % 3 != 0);
    const double h = 2 * base::kPi / kRays;
    const Ray* two_before = i > 1 && guess && before[-1].met ? before - 1 : nullptr;
    const auto extrapolated = [&] {  // the cubic through the last two, one step on
      return 5 * two_before->s + 2 * h * two_before->dsdu - 4 * before->s + 4 * h * before->dsdu;
    };
    if (guess && newton(ray, two_before ? extrapolated() : before->s + h * before->dsdu)) continue;
    if (before && passes(ray, *before)) continue;
    follow(ray);
  }
  rays[kRays] = rays[0];
  rays[kRays].u = 2 * base::kPi;
  const auto nearest = std::min_element(rays.begin(), rays.end() - 1, [](const Ray& a, const Ray& b) {
    return (a.met ? -1 : a.nearest) < (b.met ? -1 : b.nearest);
  });
  if (!nearest->met) {
    const double gap = dip(nearest->e, nearest->s_nearest).second;
    return tl::unexpected(base::Problem{
        "mitre-no-contact",
        {},
        base::say(
            "No part of the tube meets the one it should be mitred onto: it passes {:.2f} mm beside it.",
            gap),
        base::say("Bring it at least {:.1f} mm nearer.", gap + 1)});
  }
  for (int i = 0; i < kRays; ++i) {
    const auto k = static_cast<std::size_t>(i);
    emit(rays[k]);
    refine(rays[k], rays[k + 1], 0);
  }
  heal_grazes();
  return std::move(cut_);
}

}  // namespace

base::Result<Cut> cut(const Tube& member, const Tube& target, const CutSearch& search) {
  return Tracer(member, target, search).run();
}

}  // namespace halfround::shape
