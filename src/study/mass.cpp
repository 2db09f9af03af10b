#include "study/mass.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "study/slot.h"

namespace halfround::study {

namespace {

constexpr int kRing = 72;   // clock angles of a whole ring; exact to 1e-12 for ovals
constexpr int kEdge = 240;  // clock angles along a cut edge: 2e-7 of a blade whose cut passes beside
constexpr double kLongestPanel = 32;  // mm along the centreline between stations; a bend of 80 mm within 1e-9
constexpr double kAbout = 1;          // mm past the edges: a layer within the wall may be cut there
constexpr double kMm3PerM3 = 1e9;

/// Gauss' points and weights on 0..1.
struct Node {
  double x, weight;
};
constexpr std::array<Node, 2> kTwo{{{0.21132486540518712, 0.5}, {0.78867513459481288, 0.5}}};
constexpr std::array<Node, 3> kThree{
    {{0.1127016653792583, 5.0 / 18}, {0.5, 8.0 / 18}, {0.8872983346207417, 5.0 / 18}}};
// through a thick wall near the flank of a target hardly wider, three points leave 1.5e-5 of a short tube
constexpr std::array<Node, 5> kFive{{{0.04691007703066802, 0.11846344252809454},
                                     {0.23076534494715845, 0.23931433524968324},
                                     {0.5, 0.28444444444444444},
                                     {0.76923465505284155, 0.23931433524968324},
                                     {0.95308992296933193, 0.11846344252809454}}};

/// Inertia about the centre from the second moments about the origin.
Mat3 inertia_of(double mass, const Vec3& centre, const Mat3& second) {
  const Mat3 own = second - mass * centre * centre.transpose();
  return own.trace() * Mat3::Identity() - own;
}

/// The same inertia about a point that lies `away` from the centre.
Mat3 shifted(const Mat3& inertia, double mass, const Vec3& away) {
  return inertia + mass * (away.squaredNorm() * Mat3::Identity() - away * away.transpose());
}

/// Sums over the wall of thin slices across the centreline: area, first and second moments about it, as seen
/// along m and b. A slice is thinner on the inside of a bend.
struct Slice {
  double area = 0, m = 0, b = 0, mm = 0, mb = 0, bb = 0;

  /// Adds all radii between inner and outer at clock angle e, for `weight` rad.
  void add(const Vec2& e, double bend, double inner, double outer, double weight) {
    const double i2 = inner * inner, o2 = outer * outer, i3 = i2 * inner, o3 = o2 * outer;
    const double first = (o2 - i2) / 2, second = (o3 - i3) / 3, third = (o2 * o2 - i2 * i2) / 4,
                 fourth = (o3 * o2 - i3 * i2) / 5;
    const double w1 = weight * (second - bend * third), w2 = weight * (third - bend * fourth);
    area += weight * (first - bend * second);
    m += w1 * e.x(), b += w1 * e.y();
    mm += w2 * e.x() * e.x(), mb += w2 * e.x() * e.y(), bb += w2 * e.y() * e.y();
  }
};

/// Adds a slice of `length` mm at a frame.
void add_slice(Volume& out, const shape::Frame& f, const Slice& q, double length) {
  const Vec3 aside = length * (q.m * f.m + q.b * f.b);
  const double v = length * q.area;
  const Mat3 across = aside * f.c.transpose();
  out.volume += v, out.moment += v * f.c + aside;
  out.second += v * f.c * f.c.transpose() + across + across.transpose() +
                length * (q.mm * f.m * f.m.transpose() + q.bb * f.b * f.b.transpose() +
                          q.mb * (f.m * f.b.transpose() + f.b * f.m.transpose()));
}

/// Adds a speck of wall at radius r and clock angle e of a frame, v mm3 before the bend's thinning.
void add_speck(Volume& out, const shape::Frame& f, const Vec2& e, double r, double v) {
  const Vec3 aside = e.x() * f.m + e.y() * f.b, p = f.c + r * aside;
  v *= 1 - r * f.k.dot(aside);
  const Vec3 vp = v * p;
  out.volume += v, out.moment += vp;
  // the lower half is filled in at the end
  out.second(0, 0) += vp.x() * p.x(), out.second(0, 1) += vp.x() * p.y(), out.second(0, 2) += vp.x() * p.z();
  out.second(1, 1) += vp.y() * p.y(), out.second(1, 2) += vp.y() * p.z(), out.second(2, 2) += vp.z() * p.z();
}

/// A cut edge read by clock angle, straight between its points.
class Edge {
 public:
  Edge(const std::vector<EdgePoint>* points, double flat) : points_(points), flat_(flat) {}

  /// in  u  0..2 pi
  [[nodiscard]] double at(double u) const {
    if (points_ == nullptr) return flat_;
    const auto& p = *points_;
    const auto next =
        std::upper_bound(p.begin(), p.end(), u, [](double v, const EdgePoint& q) { return v < q.u; });
    const EdgePoint& b = next == p.end() ? p.front() : *next;
    const EdgePoint& a = next == p.begin() ? p.back() : *(next - 1);
    const double from = next == p.begin() ? a.u - 2 * base::kPi : a.u;
    const double to = next == p.end() ? b.u + 2 * base::kPi : b.u;
    return to > from ? a.s + (b.s - a.s) * (u - from) / (to - from) : a.s;
  }
  /// Whether the generator at u meets the target; true of a square end.
  [[nodiscard]] bool met(double u) const {
    if (points_ == nullptr) return true;
    const auto& p = *points_;
    const auto next =
        std::upper_bound(p.begin(), p.end(), u, [](double v, const EdgePoint& q) { return v < q.u; });
    return (next == p.end() ? p.front() : *next).met && (next == p.begin() ? p.back() : *(next - 1)).met;
  }
  [[nodiscard]] double least() const { return reach(-1); }
  [[nodiscard]] double most() const { return reach(1); }

 private:
  [[nodiscard]] double reach(double sign) const {
    if (points_ == nullptr) return flat_;
    double out = -INFINITY;
    for (const EdgePoint& q : *points_) out = std::max(out, sign * q.s);
    return sign * out;
  }
  const std::vector<EdgePoint>* points_;
  double flat_;
};

struct EndEdges {
  Edge outer, inner;
  const Mitre* mitre = nullptr;
  const bike::Member* target = nullptr;

  /// Of all places the cut reaches, the one farthest from s0.
  [[nodiscard]] double farthest_from(double s0) const {
    double out = s0;
    for (const double s : {outer.least(), outer.most(), inner.least(), inner.most()}) {
      if (std::abs(s - s0) > std::abs(out - s0)) out = s;
    }
    return out;
  }
};

EndEdges edges_of(const bike::Assembly& assembly, const bike::Member& member, bike::End end,
                  const std::vector<Mitre>& mitres) {
  const double flat = end == bike::End::end ? member.s_end : member.s_start;
  for (const Mitre& m : mitres) {
    if (m.member == member.part && m.end == end && !m.inner.empty())
      return {Edge(&m.outer, flat), Edge(&m.inner, flat), &m, bike::find_member(assembly, m.onto)};
  }
  return {Edge(nullptr, flat), Edge(nullptr, flat)};
}

struct Walls {
  const shape::TubeReader& reader;
  const shape::Profile& inner;
};

/// Whole turn of unit vectors, the first half a step (or no step) from the mark line.
template <int n>
std::array<Vec2, n> turn_of(double first) {
  std::array<Vec2, n> out;
  for (int j = 0; j < n; ++j)
    out[static_cast<std::size_t>(j)] = base::unit_at(2 * base::kPi * (j + first) / n);
  return out;
}
const std::array<Vec2, kRing>& ring() {
  static const std::array<Vec2, kRing> all = turn_of<kRing>(0);
  return all;
}

/// Radii of one section by clock angle; oval ones need their half axes only once.
class SectionRadii {
 public:
  SectionRadii(const shape::Profile& profile, double s) : profile_(profile), s_(s) {
    if (profile.convex()) axes_ = profile.half_axes(s);
  }
  [[nodiscard]] double at(const Vec2& e) const {
    return profile_.convex() ? axes_.at(e).r : profile_.at(e, s_).r;
  }

 private:
  const shape::Profile& profile_;
  double s_;
  shape::HalfAxes axes_{};
};

Slice slice_of(const Walls& w, const shape::Frame& f, double s) {
  const SectionRadii outer(w.reader.tube().profile, s), inner(w.inner, s);
  const Vec2 bend(f.k.dot(f.m), f.k.dot(f.b));
  Slice out;
  for (const Vec2& e : ring()) out.add(e, bend.dot(e), inner.at(e), outer.at(e), 2 * base::kPi / kRing);
  return out;
}

/// Where a bend or a taper begins or ends: what is summed along the tube has a corner there.
std::vector<double> corners_between(const shape::Tube& tube, double low, double high) {
  std::vector<double> out;
  const auto add = [&](double s) {
    if (s > low && s < high) out.push_back(s);
  };
  for (const shape::Station& q : tube.profile.stations()) add(q.s);
  for (const shape::Piece& q : tube.centreline.pieces()) add(q.s0), add(q.s0 + q.length);
  std::sort(out.begin(), out.end());
  return out;
}

/// Whole rings from s0 to s1; negative where s1 < s0.
Volume rings(const Walls& w, double s0, double s1) {
  const shape::Tube& tube = w.reader.tube();
  std::vector<double> ends = corners_between(tube, std::min(s0, s1), std::max(s0, s1));
  ends.insert(ends.begin(), std::min(s0, s1)), ends.push_back(std::max(s0, s1));
  Volume out;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    const double reach = ends[i + 1] - ends[i];
    // a straight tube of one section goes with powers of s that Gauss' three points take exactly
    const bool even = tube.profile.constant() && w.reader.frame(ends[i] + reach / 2).k.isZero();
    const int n = even ? 1 : std::max(1, static_cast<int>(std::ceil(reach / kLongestPanel)));
    for (int k = 0; k < n; ++k) {
      for (const Node& g : kThree) {
        const double s = ends[i] + reach / n * (k + g.x);
        const shape::Frame f = w.reader.frame(s);
        add_slice(out, f, slice_of(w, f, s), reach / n * g.weight * (s1 < s0 ? -1 : 1));
      }
    }
  }
  return out;
}

/// One generator of the wall at clock angle e; tau 0 inside, 1 outside.
struct Generator {
  const Walls& walls;
  const EndEdges& edges;
  Vec2 e;
  const std::vector<double>&
      corners;  // where a bend or a taper begins or ends between s0 and the cut, rising

  struct Value {
    double level = 0, slope = 0, rise = 0;  ///< of the target; along s; along tau
  };
  [[nodiscard]] shape::SurfacePoint at(double tau, double s, Vec3* across = nullptr) const {
    const shape::Frame f = walls.reader.frame(s);
    const shape::Radius o = walls.reader.tube().profile.at(e, s), i = walls.inner.at(e, s);
    if (across != nullptr) *across = (o.r - i.r) * (e.x() * f.m + e.y() * f.b);
    return shape::surface(
        f, {i.r + tau * (o.r - i.r), i.ru + tau * (o.ru - i.ru), i.rs + tau * (o.rs - i.rs)}, e);
  }
  [[nodiscard]] Value value(double tau, double s) const {
    Vec3 across;
    const shape::SurfacePoint p = at(tau, s, &across);
    const shape::Level l = shape::level(edges.target->tube, p.p);
    return {l.value, l.gradient.dot(p.ps), l.gradient.dot(across)};
  }
  /// Where it meets the target, near s.
  [[nodiscard]] double met(double tau, double s) const {
    for (int i = 0; i < 20; ++i) {
      const Value v = value(tau, s);
      if (std::abs(v.slope) < 1e-6) break;
      const double step = std::clamp(-v.level / v.slope, -2.0, 2.0);
      s += step;
      if (std::abs(step) < 1e-7) break;  // the next step would be its square
    }
    return s;
  }
  /// Where it stops at the plane, near s.
  [[nodiscard]] double stopped(double tau, double s) const {
    for (int i = 0; i < 20; ++i) {
      const shape::SurfacePoint p = at(tau, s);
      const Vec3& n = edges.mitre->stop_normal;
      const double step = -(p.p - edges.mitre->stop_point).dot(n) / p.ps.dot(n);
      s += step;
      if (std::abs(step) < 1e-7) break;
    }
    return s;
  }
  /// The layer that just touches; s is moved there.
  [[nodiscard]] double touching(double& s) const {
    double tau = 0.5;
    for (int i = 0; i < 30; ++i) {
      for (int k = 0; k < 20; ++k) {
        const double d = 1e-4, f = value(tau, s).slope;
        const double bend = (value(tau, s + d).slope - value(tau, s - d).slope) / (2 * d);
        const double step = std::clamp(-f / bend, -2.0, 2.0);
        s += step;
        if (std::abs(step) < 1e-8) break;
      }
      const Value v = value(tau, s);
      const double step = -v.level / v.rise;
      tau += step;
      if (std::abs(step) < 1e-10) break;
    }
    return std::clamp(tau, 0.0, 1.0);
  }
};

/// Adds what lies between s0 and the cut in the layers between tau `low` and `high`.
///   in  end_at  where the cut is in a layer;  rooted  it goes like a root toward `high`
template <class EndAt>
void add_layers(Volume& out, const Generator& g, double s0, double low, double high, bool rooted,
                const EndAt& end_at) {
  for (const Node& t : kFive) {
    const double y = t.x;
    const double tau = rooted ? high - (high - low) * y * y : low + (high - low) * y;
    const double weight = t.weight * (high - low) * (rooted ? 2 * y : 1) * 2 * base::kPi / kEdge;
    const double end = end_at(tau);
    const auto add_up_to = [&](double from, double to) {
      const double reach = to - from;
      for (const Node& n : kTwo) {
        const double s = from + reach * n.x;
        const double ro = g.walls.reader.tube().profile.at(g.e, s).r, ri = g.walls.inner.at(g.e, s).r;
        const double r = ri + tau * (ro - ri);
        add_speck(out, g.walls.reader.frame(s), g.e, r, weight * n.weight * reach * (ro - ri) * r);
      }
    };
    double from = s0;
    const auto pass = [&](double s) {
      if (s > std::min(from, end) && s < std::max(from, end)) add_up_to(from, s), from = s;
    };
    if (end >= s0)
      std::for_each(g.corners.begin(), g.corners.end(), pass);
    else
      std::for_each(g.corners.rbegin(), g.corners.rend(), pass);
    add_up_to(from, end);
  }
}

/// From the square plane at s0 to the cut; negative where that lies before it. Every layer of the wall is cut
/// where its own generator meets the target or the plane.
Volume up_to(const Walls& w, double s0, const EndEdges& edges) {
  Volume out;
  if (edges.mitre == nullptr || edges.target == nullptr) return out;  // square: s0 is the end
  static const std::array<Vec2, kEdge> turn = turn_of<kEdge>(0.5);
  const double far = edges.farthest_from(s0);
  const std::vector<double> corners =
      corners_between(w.reader.tube(), std::min(s0, far) - kAbout, std::max(s0, far) + kAbout);
  for (int j = 0; j < kEdge; ++j) {
    const double u = 2 * base::kPi * (j + 0.5) / kEdge;
    const Generator g{w, edges, turn[static_cast<std::size_t>(j)], corners};
    const double outer = edges.outer.at(u), inner = edges.inner.at(u);
    const bool outer_met = edges.outer.met(u), inner_met = edges.inner.met(u);
    const auto met = [&](double tau) { return g.met(tau, inner + tau * (outer - inner)); };
    if (outer_met && inner_met) {
      add_layers(out, g, s0, 0, 1, true, met);
    } else if (!outer_met && !inner_met) {
      add_layers(out, g, s0, 0, 1, false, [&](double tau) { return g.stopped(tau, outer); });
    } else if (inner_met) {
      double s = outer;
      const double touching = g.touching(s);
      add_layers(out, g, s0, 0, touching, true, [&](double tau) {
        // like a root: from the inner edge to the touching layer
        return g.met(tau, s + (inner - s) * std::sqrt(std::max(0.0, 1 - tau / touching)));
      });
      add_layers(out, g, s0, touching, 1, false, [&](double tau) { return g.stopped(tau, outer); });
    } else {
      add_layers(out, g, s0, 0, 1, false, [&](double tau) { return inner + tau * (outer - inner); });
    }
  }
  out.second.triangularView<Eigen::StrictlyLower>() = out.second.transpose();
  return out;
}

bool wall_known(const shape::Profile& profile) {
  return std::all_of(profile.stations().begin(), profile.stations().end(),
                     [](const shape::Station& q) { return q.wall > 0; });
}

PartMass member_mass(const bike::Assembly& assembly, const bike::Member& member,
                     const std::vector<Mitre>& mitres, double density) {
  PartMass out{
      member.part, "", std::nullopt, 0, member.tube.centreline.point((member.s_start + member.s_end) / 2),
      Mat3::Zero()};
  if (!wall_known(member.tube.profile)) return out;
  const shape::TubeReader reader(member.tube);
  const shape::Profile inside = member.tube.profile.inner();
  const Walls w{reader, inside};
  const EndEdges low = edges_of(assembly, member, bike::End::start, mitres),
                 high = edges_of(assembly, member, bike::End::end, mitres);
  const double from = std::max(low.outer.most(), low.inner.most());
  const double to = std::min(high.outer.least(), high.inner.least());
  const Volume body = rings(w, from, to), top = up_to(w, to, high), bottom = up_to(w, from, low);
  Volume all = body.plus(1, top).plus(-1, bottom);
  for (const bike::Joint& j : assembly.joints) {
    const bike::Plate* plate = j.kind == bike::JointKind::slotted && j.member == member.part
                                   ? bike::find_plate(assembly, j.onto)
                                   : nullptr;
    if (plate) all = all.plus(-1, slot_volume(member, j.end, *plate));
  }
  out.volume = all.volume;
  out.mass = out.volume * density;
  out.centre = all.moment / out.volume;
  out.inertia = inertia_of(*out.mass, out.centre, density * all.second);
  return out;
}

/// What a bore takes out of a plate: slices parallel to the face it starts from, each an ellipse shifted
/// along the axis.
Volume bore_body(const bike::Plate& plate, const bike::Bore& bore) {
  const Vec3 axis = plate.X_FP.linear() * bore.axis;
  // square to a face, or along the plate where it starts from the edge
  const Vec3 across = bore.mouth ? Vec3(bore.axis.x(), bore.axis.y(), 0).normalized() : Vec3::UnitZ();
  const double length = bike::bore_length(plate, bore), slope = bore.axis.dot(across), rises = length * slope;
  const Vec3 middle = plate.X_FP * Vec3(bike::bore_mouth(plate, bore) + length / 2 * bore.axis);
  // half axes of a slice, as vectors in the plane of the slice: the ellipse about the axis carried along it
  const Vec3 e = (Vec3::UnitX() - bore.axis.x() * bore.axis).normalized(), f = bore.axis.cross(e);
  const auto in_slice = [&](const Vec3& d, double r) -> Vec3 {
    return plate.X_FP.linear() * (r * (d - d.dot(across) / slope * bore.axis));
  };
  const Vec3 a = in_slice(e, bore.diameter / 2),
             b = in_slice(f, (bore.across > 0 ? bore.across : bore.diameter) / 2);
  const double v = bike::bore_volume(plate, bore);
  const Vec3 rise = axis / slope;  // a step of 1 across the slices
  Volume out;
  out.add(v, middle);
  // of an ellipse: a quarter of the squares of its half axes; of the shift: t^2 / 12
  out.second +=
      v * (0.25 * (a * a.transpose() + b * b.transpose()) + rises * rises / 12 * rise * rise.transpose());
  return out;
}

PartMass plate_mass(const bike::Plate& plate, double density) {
  PartMass out{plate.part, "", std::nullopt, 0, Vec3::Zero(), Mat3::Zero()};
  const Vec3& origin = plate.outline.front();
  double area = 0;
  Vec3 moment = Vec3::Zero();
  Mat3 second = Mat3::Zero();
  for (std::size_t i = 1; i + 1 < plate.outline.size(); ++i) {
    const Vec3 &a = plate.outline[i], &b = plate.outline[i + 1];
    const double triangle = 0.5 * (a - origin).cross(b - origin).dot(plate.normal);
    const Vec3 sum = origin + a + b;
    area += triangle, moment += triangle * sum / 3;
    // of a triangle: area / 12 of (corner products + product of the sums)
    second += triangle / 12 *
              (origin * origin.transpose() + a * a.transpose() + b * b.transpose() + sum * sum.transpose());
  }
  const Mat3 thick =
      plate.thickness * plate.thickness / 12 * plate.normal * plate.normal.transpose();  // of p p^T, by area
  const double t = plate.thickness * (area < 0 ? -1 : 1);
  Volume all{area * t, moment * t, t * (second + area * thick)};
  // the outline's arcs bow out of its points by a hair: the exact outline's area counts
  const double exact = plate.corners.empty() ? 1 : bike::area(plate.corners) / std::abs(area);
  all.volume *= exact, all.moment *= exact, all.second *= exact;
  for (const bike::Bore& b : plate.bores) all = all.plus(-1, bore_body(plate, b));
  out.volume = all.volume;
  out.mass = out.volume * density;
  out.centre = all.moment / all.volume;
  out.inertia = inertia_of(*out.mass, out.centre, density * all.second);
  return out;
}

/// 4 A_m^2 t / S on the wall's middle line.
double bredt(const shape::Profile& profile, double s, double wall) {
  const shape::Profile middle = profile.grown(-wall / 2);
  double area = 0, length = 0;
  for (const Vec2& e : ring()) {
    const shape::Radius q = middle.at(e, s);
    area += q.r * q.r / 2, length += std::hypot(q.r, q.ru);
  }
  const double step = 2 * base::kPi / kRing;
  return 4 * area * area * step / length * wall;
}

}  // namespace

std::optional<Section> section_at(const shape::Profile& profile, double s) {
  const double wall = profile.wall(s);
  if (!(wall > 0)) return std::nullopt;
  const shape::Profile inside = profile.inner();
  const double step = 2 * base::kPi / kRing;
  Section out;
  Vec2 first = Vec2::Zero();
  double reach_m = 0, reach_b = 0;
  for (const Vec2& e : ring()) {
    const double ro = profile.at(e, s).r, ri = inside.at(e, s).r;
    const double fourth = (std::pow(ro, 4) - std::pow(ri, 4)) / 4 * step;
    out.area += (ro * ro - ri * ri) / 2 * step;
    first += (std::pow(ro, 3) - std::pow(ri, 3)) / 3 * step * e;
    out.I_m += fourth * e.y() * e.y(), out.I_b += fourth * e.x() * e.x(), out.I_mb += fourth * e.x() * e.y();
  }
  out.centre = first / out.area;
  out.I_m -= out.area * out.centre.y() * out.centre.y();
  out.I_b -= out.area * out.centre.x() * out.centre.x();
  out.I_mb -= out.area * out.centre.x() * out.centre.y();
  for (const Vec2& e : ring()) {
    const Vec2 p = profile.at(e, s).r * e - out.centre;
    reach_m = std::max(reach_m, std::abs(p.y())), reach_b = std::max(reach_b, std::abs(p.x()));
  }
  out.Z_m = out.I_m / reach_m, out.Z_b = out.I_b / reach_b;
  out.J = profile.kind(s) == shape::OutlineKind::round ? out.I_m + out.I_b : bredt(profile, s, wall);
  return out;
}

Mass mass(const bike::Assembly& assembly, const std::vector<Mitre>& mitres, const MassOptions& options) {
  Mass out;
  out.density_kg_m3 = options.density_kg_m3;
  const auto density = [&](const bike::Part& part) {
    for (const auto& [other, own] : options.other_densities)
      if (other == part) return own / kMm3PerM3;
    return options.density_kg_m3 / kMm3PerM3;
  };
  for (const bike::Member& m : assembly.members)
    out.parts.push_back(member_mass(assembly, m, mitres, density(m.part)));
  for (const bike::Plate& p : assembly.plates) out.parts.push_back(plate_mass(p, density(p.part)));
  for (const PointMass& p : options.more) out.parts.push_back({{}, p.name, p.mass, 0, p.at, Mat3::Zero()});
  double known = 0;
  bool all = true;
  Vec3 moment = Vec3::Zero();
  for (const PartMass& p : out.parts) {
    all = all && p.mass;
    known += p.mass.value_or(0), moment += p.mass.value_or(0) * p.centre;
  }
  if (known > 0) out.centre = moment / known;
  if (all) out.total = known;
  for (const PartMass& p : out.parts) {
    if (p.mass) out.inertia += shifted(p.inertia, *p.mass, p.centre - out.centre);
  }
  out.about_steering = shifted(out.inertia, known, out.centre)(2, 2);
  return out;
}

}  // namespace halfround::study
