#include "shape/separation.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfround::shape {

namespace {

constexpr double kRounding = 1e-11;
constexpr int kSides = 128;  // of a measured section, where its support is looked for

double allowed_gap(double value, const ProofOptions& options) {
  return options.gap + 0.05 * std::max({0.0, value - 20, -value});
}

/// Bound of a support at a set that is only known through the least value of linear forms on it: least(n).
/// The bend's -tau² lies above its chords over strips of tau, so each strip is linear again. The strips are
/// made narrow enough to lose no more than half the gap.
template <class Least>
double lower_bound(const Support& s, const Vec3& origin, const Vec3& travel, double gap, const Least& least) {
  const auto above = [&](const Vec3& n) { return least(n) - n.dot(origin) - std::abs(n.dot(travel)); };
  const double flat = above(s.n) - s.reach;
  if (s.bend < 1e-12) return flat;
  const double p = above(s.out);
  if (p <= 1) return -INFINITY;
  const double lo = above(s.hoop), hi = -above(-s.hoop), k = s.bend / (2 * p);
  const double widest = std::max(lo * lo, hi * hi);
  if (k * widest < 0.25 * gap) return flat - k * widest;
  const int strips =
      std::clamp(static_cast<int>(std::ceil((hi - lo) / (2 * std::sqrt(0.5 * gap / k)))), 1, 16);
  double bound = INFINITY;
  for (int i = 0; i < strips; ++i) {
    const double t0 = lo + (hi - lo) * i / strips, t1 = lo + (hi - lo) * (i + 1) / strips;
    bound = std::min(bound, above(s.n - k * (t0 + t1) * s.hoop) + k * t0 * t1);
  }
  return bound - s.reach;
}

// ---- tubes
// -------------------------------------------------------------------------------------------------

/// A stretch with one curvature and one cubic of the half axes.
struct Stretch {
  double s0, s1;
  double curvature = 0;
  double radius = 0;  ///< greatest half axis
  double bow = 0;     ///< bounds |d²/ds²| of (a n·m, b n·b) over |n|
  double rise = 0;    ///< of a measured section: bounds |dr/ds|
};

struct Piece1 {
  double lo, hi;
  std::size_t stretch;
  double bound;
  Vec3 n;  ///< gradient at its sample, where its halves begin to look
  double u, s, value;
};

class TubeProof {
 public:
  TubeProof(const Tube& tube, double s0, double s1, const Body& body, const ProofOptions& options)
      : tube_(tube), s0_(s0), s1_(s1), body_(body), options_(options), convex_(tube.profile.convex()) {
    if (!convex_) measure_bounds();
    cut_into_stretches();
  }
  Separation run();

 private:
  void cut_into_stretches();
  void measure_bounds();
  [[nodiscard]] Vec2 contact(const Vec2& v, double s) const;
  [[nodiscard]] Vec2 nearest_of_section(const Frame& f, double s, const Vec2& from, const Vec2& to) const;
  [[nodiscard]] double section_reach(const Vec2& v, double s) const;
  [[nodiscard]] double bound_with(const Support& sup, const Stretch& st, const Frame& f, double s,
                                  double h) const;
  [[nodiscard]] Piece1 look(double lo, double hi, std::size_t stretch, const Vec3& toward);
  void look_at_end(double s);
  void polish();
  [[nodiscard]] Gap sample() const;
  void take(const Gap& g) {
    if (g.value < best_.value) best_ = g;
  }

  const Tube& tube_;
  double s0_, s1_;
  const Body& body_;
  const ProofOptions& options_;
  bool convex_;
  double outline_bow_ = 0, rise_ = 0, reach_ = 0;  ///< of measured sections
  std::vector<Stretch> stretches_;
  std::vector<Piece1> heap_;
  std::vector<Support> end_planes_;  ///< of closed ends that are nearest somewhere inside their rim
  std::vector<double> end_at_;
  std::vector<Gap> polished_;
  Gap best_{INFINITY, 0, 0};
  double best_sample_ = INFINITY;
  double sample_u_ = 0, sample_s_ = 0;
  int pieces_ = 0;
};

void TubeProof::cut_into_stretches() {
  std::vector<double> at{s0_, s1_};
  for (const Piece& q : tube_.centreline.pieces()) at.push_back(q.s0), at.push_back(q.s0 + q.length);
  for (const Station& st : tube_.profile.stations()) at.push_back(st.s);
  std::sort(at.begin(), at.end());
  for (std::size_t i = 0; i + 1 < at.size(); ++i) {
    const double lo = std::max(at[i], s0_), hi = std::min(at[i + 1], s1_), len = hi - lo,
                 mid = 0.5 * (lo + hi);
    if (len < 1e-9) continue;
    Stretch st{lo, hi};
    st.curvature = tube_.centreline.at(mid).k.norm();
    st.rise = rise_;
    if (convex_) {
      // da is a parabola in s: three looks at it give its first and second derivative exactly
      const HalfAxes a = tube_.profile.half_axes(mid - len / 4), b = tube_.profile.half_axes(mid),
                     c = tube_.profile.half_axes(mid + len / 4);
      const auto bounds = [&](double d0, double d1, double d2) -> Vec2 {
        const double curve = (d2 - d0) / (len / 2), jerk = std::abs(d2 - 2 * d1 + d0) / (len * len / 16);
        const double most = std::abs(curve) + jerk * len / 2;
        return {std::abs(d1) + most * len / 2, most};
      };
      const Vec2 da = bounds(a.da, b.da, c.da), db = bounds(a.db, b.db, c.db);
      const double slope = std::max(da.x(), db.x()), bow = std::max(da.y(), db.y());
      st.radius = std::max(b.a, b.b) + slope * len / 2;
      st.bow = bow + 2 * slope * st.curvature + st.radius * st.curvature * st.curvature;
    } else {
      st.radius = reach_;
    }
    stretches_.push_back(st);
  }
}

/// Radius, slope and second derivative of one station's outline, bounded over the whole turn.
PolarOutline::Bounds station_bounds(const Station& st) {
  if (st.outline) return st.outline->bounds();
  // an ellipse r = ab q^(-1/2), q = b² cos² u + a² sin² u between least² and most²
  const double a = st.width / 2, b = st.depth / 2, least = std::min(a, b), d = std::abs(a * a - b * b);
  const double slope = d / 2 * std::max(a, b) / (a * b);
  return {std::max(a, b), slope, a * b * (0.75 * d * d / std::pow(least, 5) + d / (least * least * least))};
}

double station_radius(const Station& st, const Vec2& e) {
  if (st.outline) return st.outline->at(std::atan2(e.y(), e.x())).r;
  return 1 / std::hypot(2 * e.x() / st.width, 2 * e.y() / st.depth);
}

/// What the tangents of a blend between stations never exceed, given the same of the chords.
std::vector<double> tangent_bounds(const std::vector<double>& chord, const std::vector<Station>& stations) {
  const std::size_t n = stations.size();
  std::vector<double> out(n, 0.0);
  for (std::size_t i = 0; n > 1 && i < n; ++i) {
    if (i == 0 || i + 1 == n) {
      out[i] = chord[i == 0 ? 0 : n - 2];
      continue;
    }
    const double h0 = stations[i].s - stations[i - 1].s, h1 = stations[i + 1].s - stations[i].s;
    out[i] = (h1 * chord[i - 1] + h0 * chord[i]) / (h0 + h1);
  }
  return out;
}

/// Bounds for measured sections. A blend over h weighs radii with w0 + w1 = 1, |dw| <= 1.5 / h, and tangents
/// with at most 4 h / 27, |dm| <= 1; tangents are means of neighbouring chords.
void TubeProof::measure_bounds() {
  const auto& stations = tube_.profile.stations();
  const std::size_t n = stations.size();
  std::vector<double> radius, bow, chord_radius, chord_bow;
  std::vector<double> slope;
  for (const Station& st : stations) {
    const auto q = station_bounds(st);
    radius.push_back(q.r), slope.push_back(q.slope), bow.push_back(q.bow + 2 * q.slope + q.r);
  }
  constexpr int kLooks = 256;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    double apart = 0;  // of the two outlines at any clock angle: seen, and what it can change between looks
    for (int k = 0; k < kLooks; ++k) {
      const Vec2 e = base::unit_at(2 * base::kPi * k / kLooks);
      apart = std::max(apart, std::abs(station_radius(stations[i + 1], e) - station_radius(stations[i], e)));
    }
    apart += (slope[i] + slope[i + 1]) * base::kPi / kLooks;
    const double h = stations[i + 1].s - stations[i].s;
    chord_radius.push_back(apart / h), chord_bow.push_back((bow[i] + bow[i + 1]) / h);
  }
  const auto by_radius = tangent_bounds(chord_radius, stations), by_bow = tangent_bounds(chord_bow, stations);
  outline_bow_ = bow.front(), reach_ = radius.front();
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const double m = 4.0 / 27 * (stations[i + 1].s - stations[i].s);
    outline_bow_ = std::max(outline_bow_, std::max(bow[i], bow[i + 1]) + m * (by_bow[i] + by_bow[i + 1]));
    reach_ = std::max(reach_, std::max(radius[i], radius[i + 1]) + m * (by_radius[i] + by_radius[i + 1]));
    rise_ = std::max(rise_, 1.5 * chord_radius[i] + by_radius[i] + by_radius[i + 1]);
  }
}

/// The section's point that lies farthest against v (v: the direction's parts along m and b), as (x, y).
Vec2 TubeProof::contact(const Vec2& v, double s) const {
  if (convex_) {
    const HalfAxes q = tube_.profile.half_axes(s);
    const double w = std::hypot(q.a * v.x(), q.b * v.y());
    return w > 1e-12 ? Vec2(-q.a * q.a * v.x() / w, -q.b * q.b * v.y() / w) : Vec2(q.a, 0);
  }
  Vec2 best = Vec2::Zero();
  double most = INFINITY;
  for (int k = 0; k < kSides; ++k) {
    const Vec2 e = base::unit_at(2 * base::kPi * k / kSides), p = tube_.profile.at(e, s).r * e;
    if (p.dot(v) < most) most = p.dot(v), best = p;
  }
  return best;
}

/// Upper bound of -v·p over a measured section.
double TubeProof::section_reach(const Vec2& v, double s) const {
  const double du = 2 * base::kPi / kSides;
  return -contact(v, s).dot(v) + v.norm() * outline_bow_ * du * du / 8;
}

/// Over s ± h: n·P >= n·C(s) - |w(s)| with w = (a n·m, b n·b). C bows by at most its curvature, w by `bow`;
/// both go by their tangents otherwise, and a line less a norm is least at one of its ends.
double TubeProof::bound_with(const Support& sup, const Stretch& st, const Frame& f, double s,
                             double h) const {
  const auto least = [&](const Vec3& n) {
    const double nc = n.dot(f.c), nt = n.dot(f.t), nm = n.dot(f.m), nb = n.dot(f.b), len = n.norm();
    if (!convex_) {
      const double lost = (st.rise + st.radius * st.curvature) * h * len + 0.5 * st.curvature * h * h * len;
      return nc - std::abs(nt) * h - section_reach({nm, nb}, s) - lost;
    }
    const HalfAxes q = tube_.profile.half_axes(s);
    const Vec2 w(q.a * nm, q.b * nb);
    const Vec2 dw(q.da * nm - q.a * f.k.dot(f.m) * nt, q.db * nb - q.b * f.k.dot(f.b) * nt);
    const double back = -h * nt - (w - h * dw).norm(), on = h * nt - (w + h * dw).norm();
    return nc + std::min(back, on) - 0.5 * (st.curvature + st.bow) * len * h * h;
  };
  return lower_bound(sup, body_.origin(), options_.travel, options_.gap, least);
}

/// Of two places of one section's rim between which the distance turns from falling to rising, the nearest
/// one there: halving, for sharp bodies throw a quicker step to and fro.
Vec2 TubeProof::nearest_of_section(const Frame& f, double s, const Vec2& from, const Vec2& to) const {
  const double u0 = std::atan2(from.y(), from.x());
  const auto rising = [&](double u, Vec2& at) {
    const Vec2 e(std::cos(u), std::sin(u)), side(-e.y(), e.x());
    const Radius r = tube_.profile.at(e, s);
    at = r.r * e;
    const Vec3 n = body_.distance(f.c + at.x() * f.m + at.y() * f.b).normal;
    return Vec2(n.dot(f.m), n.dot(f.b)).dot(r.ru * e + r.r * side) > 0;
  };
  Vec2 at = from;
  const bool up = rising(u0, at);
  // walk the way it falls until it rises
  double a = u0,
         step = std::max(1e-3, std::abs(std::remainder(std::atan2(to.y(), to.x()) - u0, 2 * base::kPi)));
  step = std::min(step, 0.5) * (up ? -1 : 1);
  double b = a + step;
  for (int i = 0; i < 13 && rising(b, at) == up; ++i) a = b, b += step;
  for (int i = 0; i < 40 && std::abs(b - a) > 1e-8; ++i) {
    const double mid = 0.5 * (a + b);
    (rising(mid, at) == up ? a : b) = mid;
  }
  return at;
}

Piece1 TubeProof::look(double lo, double hi, std::size_t stretch, const Vec3& toward) {
  ++pieces_;
  const Stretch& st = stretches_[stretch];
  const double s = 0.5 * (lo + hi), h = 0.5 * (hi - lo);
  const Frame f = tube_.centreline.at(s);
  Vec2 q = contact({toward.dot(f.m), toward.dot(f.b)}, s);
  Distance d = body_.distance(f.c + q.x() * f.m + q.y() * f.b);
  // the plane at a place that is not the section's nearest gives away what the section has beyond it
  const Vec2 v(d.normal.dot(f.m), d.normal.dot(f.b)), q1 = contact(v, s);
  if (const double lost = (q - q1).dot(v); d.value > 0 && lost > 0.1 * options_.gap && lost > 0.02 * h) {
    const Vec2 nearer = nearest_of_section(f, s, q, q1);
    const Distance e = body_.distance(f.c + nearer.x() * f.m + nearer.y() * f.b);
    q = nearer, d = e;
  }
  const Vec3 p = f.c + q.x() * f.m + q.y() * f.b;
  const Support sup = body_.support(p, d.normal);
  double bound = bound_with(sup, st, f, s, h);
  // a distance can't fall faster than one goes
  const double far = d.value - h - (2 * st.radius + options_.travel.norm());
  bound = std::max(bound, far);
  if (bound == far && sup.bend > 0)
    bound = std::max(bound, body_.distance(f.c).value - h - st.radius - options_.travel.norm());
  for (std::size_t i = 0; i < end_planes_.size(); ++i) {
    if (lo <= end_at_[i] && end_at_[i] <= hi)
      bound = std::max(bound, bound_with(end_planes_[i], st, f, s, h));
  }
  if (d.value < best_sample_) best_sample_ = d.value, sample_u_ = std::atan2(q.y(), q.x()), sample_s_ = s;
  return {lo, hi, stretch, bound - kRounding, d.normal, std::atan2(q.y(), q.x()), s, d.value};
}

/// A closed end may be nearest within its rim: Newton in its plane.
void TubeProof::look_at_end(double s) {
  const Frame f = tube_.centreline.at(s);
  Vec2 q = Vec2::Zero();
  const auto at = [&](const Vec2& x) { return body_.distance(f.c + x.x() * f.m + x.y() * f.b); };
  const auto slope = [&](const Distance& d) { return Vec2(d.normal.dot(f.m), d.normal.dot(f.b)); };
  Distance d = at(q);
  if (d.value - (convex_ ? tube_.profile.max_radius() : reach_) - options_.travel.norm() > options_.enough)
    return;
  for (int i = 0; i < 12; ++i) {
    const Vec2 g = slope(d);
    if (g.norm() < 1e-10) break;
    const double h = 1e-4;
    const Vec2 gx = (slope(at(q + Vec2(h, 0))) - g) / h, gy = (slope(at(q + Vec2(0, h))) - g) / h;
    // an edge of the body may lie along the end: no curvature that way, so a little is lent
    const double lent = 1e-6 * (gx.x() + gy.y()) + 1e-12, a = gx.x() + lent, c = gy.y() + lent;
    const double b = 0.5 * (gx.y() + gy.x()), det = a * c - b * b;
    if (!(a > 0) || !(det > 0)) return;
    q -= Vec2(c * g.x() - b * g.y(), a * g.y() - b * g.x()) / det;
    const double r = q.norm();
    if (r > tube_.profile.at(r > 0 ? Vec2(q / r) : Vec2(1, 0), s).r) return;
    d = at(q);
  }
  if (slope(d).norm() > 1e-7) return;
  const Vec3 p = f.c + q.x() * f.m + q.y() * f.b;
  end_planes_.push_back(body_.support(p, d.normal)), end_at_.push_back(s);
  const double u = std::atan2(q.y(), q.x());
  take({d.value, u < 0 ? u + 2 * base::kPi : u, s, p, p - d.value * d.normal});
}

Gap TubeProof::sample() const {
  const Vec3 p = surface(tube_, base::unit_at(sample_u_), sample_s_).p;
  const Distance d = body_.distance(p);
  return {d.value, sample_u_ < 0 ? sample_u_ + 2 * base::kPi : sample_u_, sample_s_, p,
          p - d.value * d.normal};
}

/// Newton from every piece that could hold the nearest place, unless a refined one lies in it already.
void TubeProof::polish() {
  if (best_sample_ < best_.value) {
    const bool proved = best_sample_ - heap_.front().bound < 1e-10;  // a flat stretch: nothing to refine
    polished_.push_back(proved ? sample() : refined_gap(tube_, sample_u_, sample_s_, s0_, s1_, body_));
    take(polished_.back());
  }
  std::vector<const Piece1*> order;
  for (const Piece1& q : heap_) {
    if (q.bound < std::min(best_.value, best_sample_) - 1e-10) order.push_back(&q);
  }
  std::sort(order.begin(), order.end(), [](const Piece1* p, const Piece1* q) { return p->value < q->value; });
  for (const Piece1* q : order) {
    const bool known = std::any_of(polished_.begin(), polished_.end(),
                                   [&](const Gap& g) { return g.s >= q->lo - 4 && g.s <= q->hi + 4; });
    if (known || polished_.size() > 8) continue;
    polished_.push_back(refined_gap(tube_, q->u, q->s, s0_, s1_, body_));
    take(polished_.back());
  }
}

Separation TubeProof::run() {
  const auto later = [](const Piece1& p, const Piece1& q) { return p.bound > q.bound; };
  const auto put = [&](const Piece1& q) {
    heap_.push_back(q);
    std::push_heap(heap_.begin(), heap_.end(), later);
  };
  for (const double s : {s0_, s1_}) look_at_end(s);
  for (std::size_t i = 0; i < stretches_.size(); ++i) {
    const Stretch& st = stretches_[i];
    const Vec3 n = body_.distance(tube_.centreline.point(0.5 * (st.s0 + st.s1))).normal;
    put(look(st.s0, st.s1, i, n));
  }
  bool refined = false;
  while (true) {
    const double seen = std::min(best_.value, best_sample_);
    const Piece1& top = heap_.front();
    // what the travel takes off is not won back by pieces much shorter than it
    const bool short_enough = top.hi - top.lo < options_.travel.norm();
    const bool done = top.bound >= seen - allowed_gap(seen, options_) || top.bound >= options_.enough ||
                      short_enough || pieces_ >= options_.most_pieces;
    if (done) {
      if (!refined && (top.bound >= options_.enough || short_enough)) break;
      const double before = best_.value;
      polish();
      if (refined && best_.value >= before) break;
      refined = true;
      continue;
    }
    std::pop_heap(heap_.begin(), heap_.end(), later);
    const Piece1 q = heap_.back();
    heap_.pop_back();
    put(look(q.lo, q.s, q.stretch, q.n));
    put(look(q.s, q.hi, q.stretch, q.n));
  }
  if (best_sample_ < best_.value) best_ = sample();
  return {best_, std::min(heap_.front().bound, best_.value), pieces_};
}

// ---- plates
// ------------------------------------------------------------------------------------------------

/// Part of a plate: a triangle of its middle plane between two heights over it.
struct Wedge {
  std::array<Vec3, 3> p;
  double w0, w1, bound;
};

/// Cuts ears off; dents are no trouble, crossings are.
std::vector<std::array<Vec3, 3>> triangles_of(std::vector<Vec3> rest, const Vec3& normal) {
  std::vector<std::array<Vec3, 3>> out;
  const auto turn = [&](const Vec3& a, const Vec3& b, const Vec3& c) {
    return (b - a).cross(c - b).dot(normal);
  };
  double area = 0;
  for (std::size_t i = 1; i + 1 < rest.size(); ++i)
    area += (rest[i] - rest[0]).cross(rest[i + 1] - rest[0]).dot(normal);
  if (area < 0) std::reverse(rest.begin(), rest.end());
  while (rest.size() > 3) {
    const std::size_t n = rest.size();
    std::size_t ear = n;
    for (std::size_t i = 0; i < n && ear == n; ++i) {
      const Vec3 &a = rest[(i + n - 1) % n], &b = rest[i], &c = rest[(i + 1) % n];
      if (turn(a, b, c) < 0) continue;
      const bool free = std::none_of(rest.begin(), rest.end(), [&](const Vec3& q) {
        return q != a && q != b && q != c && turn(a, b, q) > 0 && turn(b, c, q) > 0 && turn(c, a, q) > 0;
      });
      if (free) ear = i;
    }
    if (ear == n) ear = 0;  // a crossing outline: its corners still count
    out.push_back({rest[(ear + n - 1) % n], rest[ear], rest[(ear + 1) % n]});
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(ear));
  }
  if (rest.size() == 3) out.push_back({rest[0], rest[1], rest[2]});
  return out;
}

std::pair<Wedge, Wedge> halves(const Wedge& q) {
  std::size_t longest = 0;
  const auto edge = [&](std::size_t i) { return (q.p[(i + 1) % 3] - q.p[i]).norm(); };
  for (std::size_t i = 1; i < 3; ++i) {
    if (edge(i) > edge(longest)) longest = i;
  }
  Wedge a = q, b = q;
  if (q.w1 - q.w0 > edge(longest)) {
    a.w1 = b.w0 = 0.5 * (q.w0 + q.w1);
  } else {
    const std::size_t i = longest, j = (longest + 1) % 3;
    a.p[j] = b.p[i] = 0.5 * (q.p[i] + q.p[j]);
  }
  return {a, b};
}

}  // namespace

Separation separation(const Tube& tube, double s0, double s1, const Body& body, const ProofOptions& options) {
  return TubeProof(tube, s0, s1, body, options).run();
}

Separation separation(const std::vector<Vec3>& outline, const Vec3& normal, double thickness,
                      const Body& body, const ProofOptions& options) {
  Separation out;
  out.gap.value = INFINITY;
  std::vector<Wedge> heap;
  const auto later = [](const Wedge& p, const Wedge& q) { return p.bound > q.bound; };
  const auto meet = [&](const Vec3& p) {
    const Distance d = body.distance(p);
    if (d.value < out.gap.value) out.gap = {d.value, 0, 0, p, p - d.value * d.normal};
    return d;
  };
  const auto put = [&](Wedge q) {
    ++out.pieces;
    const double half = 0.5 * (q.w1 - q.w0), w = 0.5 * (q.w0 + q.w1);
    const Vec3 middle = (q.p[0] + q.p[1] + q.p[2]) / 3 + w * normal;
    const auto corner = [&](const Vec3& n) {
      std::size_t k = 0;
      for (std::size_t i = 1; i < 3; ++i) {
        if (q.p[i].dot(n) < q.p[k].dot(n)) k = i;
      }
      return Vec3(q.p[k] + (w - std::copysign(half, n.dot(normal))) * normal);
    };
    // from the middle to the corner that lies nearest the body, and the plane there
    const Vec3 near = corner(meet(middle).normal);
    const auto least = [&](const Vec3& n) { return n.dot(corner(n)); };
    q.bound = -INFINITY;
    for (const Vec3& p : {near, middle}) {
      const Support sup = body.support(p, meet(p).normal);
      q.bound = std::max(
          q.bound, lower_bound(sup, body.origin(), options.travel, 1e-3 * options.gap, least) - kRounding);
    }
    double reach = 0;
    for (const Vec3& p : q.p) reach = std::max(reach, (p + w * normal - middle).norm());
    q.bound =
        std::max(q.bound, body.distance(middle).value - std::hypot(reach, half) - options.travel.norm());
    heap.push_back(q);
    std::push_heap(heap.begin(), heap.end(), later);
  };
  for (const auto& t : triangles_of(outline, normal)) put({t, -thickness / 2, thickness / 2, 0});
  // plates have no Newton: the halving goes on until the value itself is as good
  const double near = options.enough < INFINITY ? options.gap : 1e-9;
  while (!heap.empty() && out.pieces < 50 * options.most_pieces) {
    const Wedge q = heap.front();
    const double value = out.gap.value;
    if (q.bound >= value - (value < 20 ? near : allowed_gap(value, options)) || q.bound >= options.enough)
      break;
    std::pop_heap(heap.begin(), heap.end(), later);
    heap.pop_back();
    const auto [a, b] = halves(q);
    put(a), put(b);
  }
  out.at_least = heap.empty() ? out.gap.value : std::min(heap.front().bound, out.gap.value);
  return out;
}

}  // namespace halfround::shape
