#include "solid/surfaces.h"

#include <Geom_BSplineSurface.hxx>
#include <Geom_CylindricalSurface.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColStd_Array2OfReal.hxx>
#include <TColgp_Array2OfPnt.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace halfround::solid {

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kLongestArc = 0.1;  // rad of bend in one quintic: 1e-9 of the radius
constexpr double kShortest = 1e-6;   // mm; stretches shorter than this are joined to the next
constexpr double kKink = 1e-9;       // a jump of slope larger than this stays a crease
constexpr int kDegree = 5;

/// The three curves that span the surface.
struct Spine {
  Vec3 c, a, b;
};
struct Jet {
  Spine value, first, second;
};
using Quintic = std::array<Spine, kDegree + 1>;

/// A cubic in s - s0 through four of its values.
struct Cubic {
  double c0, c1, c2, c3;
  [[nodiscard]] std::array<double, 3> at(double x) const {
    return {c0 + x * (c1 + x * (c2 + x * c3)), c1 + x * (2 * c2 + 3 * x * c3), 2 * c2 + 6 * x * c3};
  }
};
template <class Read>
Cubic cubic_through(const Read& read, double s0, double h) {
  const double y0 = read(s0), y1 = read(s0 + h / 3), y2 = read(s0 + 2 * h / 3), y3 = read(s0 + h);
  const double d1 = y1 - y0, d2 = y2 - y1, d3 = y3 - y2;  // differences at thirds
  const double q = (d2 - d1) / 2, k = (d3 - 2 * d2 + d1) / 6, t = 3 / h;
  return {y0, t * (d1 - q + 2 * k), t * t * (q - 3 * k), t * t * t * k};
}

/// Value, slope and bend at one end of a stretch, as seen from within it.
Jet jet_at(const shape::Tube& tube, double s, const std::array<double, 3>& a, const std::array<double, 3>& b,
           const Vec3& bend_axis) {
  const shape::Frame f = tube.centreline.at(s);
  const Vec3 k = bend_axis.cross(f.t);  // curvature vector; the axis is curvature times the bend's binormal
  const double mk = f.m.dot(k), bk = f.b.dot(k);
  const Vec3 dm = -mk * f.t, db = -bk * f.t;
  Jet j;
  j.value = {f.c, a[0] * f.m, b[0] * f.b};
  j.first = {f.t, a[1] * f.m + a[0] * dm, b[1] * f.b + b[0] * db};
  j.second = {k, a[2] * f.m + 2 * a[1] * dm - a[0] * mk * k, b[2] * f.b + 2 * b[1] * db - b[0] * bk * k};
  return j;
}

Quintic quintic(const shape::Tube& tube, double s0, double s1) {
  const double h = s1 - s0;
  const Cubic a = cubic_through([&](double s) { return tube.profile.half_axes(s).a; }, s0, h);
  const Cubic b = cubic_through([&](double s) { return tube.profile.half_axes(s).b; }, s0, h);
  const shape::Frame middle = tube.centreline.at(0.5 * (s0 + s1));
  const Vec3 axis = middle.t.cross(middle.k);
  const Jet j0 = jet_at(tube, s0, a.at(0), b.at(0), axis), j1 = jet_at(tube, s1, a.at(h), b.at(h), axis);
  const auto from = [h](const Vec3& p, const Vec3& d, const Vec3& dd, double sign) -> std::array<Vec3, 3> {
    return {p, p + sign * h / 5 * d, p + sign * 2 * h / 5 * d + h * h / 20 * dd};
  };
  Quintic q;
  const auto fill = [&](Vec3 Spine::*of) {
    const auto low = from(j0.value.*of, j0.first.*of, j0.second.*of, 1),
               high = from(j1.value.*of, j1.first.*of, j1.second.*of, -1);
    for (std::size_t i = 0; i < 3; ++i) q[i].*of = low[i], q[kDegree - i].*of = high[i];
  };
  fill(&Spine::c), fill(&Spine::a), fill(&Spine::b);
  return q;
}

/// Where the stretches begin and end.
std::vector<double> breaks_of(const shape::Tube& tube, double from, double to) {
  std::vector<double> at{from, to};
  const auto add = [&](double s) {
    if (s > from + kShortest && s < to - kShortest) at.push_back(s);
  };
  for (const shape::Station& q : tube.profile.stations()) add(q.s);
  add(tube.centreline.length());
  for (const shape::Piece& p : tube.centreline.pieces()) {
    add(p.s0);
    const int n = std::max(1, static_cast<int>(std::ceil(p.length * p.curvature / kLongestArc)));
    for (int i = 1; i < n; ++i) add(p.s0 + p.length * i / n);
  }
  std::sort(at.begin(), at.end());
  std::vector<double> out;
  for (const double s : at) {
    if (out.empty() || s - out.back() > kShortest) out.push_back(s);
  }
  out.back() = to;
  return out;
}

Handle(Geom_Surface) spline(const shape::Tube& tube, double from, double to, double seam) {
  const std::vector<double> s = breaks_of(tube, from, to);
  std::vector<Spine> row;  // poles along s
  std::vector<int> mults{kDegree + 1};
  Quintic before{};
  for (std::size_t i = 0; i + 1 < s.size(); ++i) {
    const Quintic q = quintic(tube, s[i], s[i + 1]);
    if (i > 0) {
      // where both sides leave with the same slope the pole between them follows from its neighbours
      const double hl = s[i] - s[i - 1], hr = s[i + 1] - s[i];
      const auto jump = [&](Vec3 Spine::*of) {
        return ((before[5].*of - before[4].*of) / hl - (q[1].*of - q[0].*of) / hr).norm();
      };
      const bool smooth = std::max({jump(&Spine::c), jump(&Spine::a), jump(&Spine::b)}) < kKink;
      if (smooth) row.pop_back();
      mults.push_back(smooth ? kDegree - 1 : kDegree);
    }
    row.insert(row.end(), q.begin() + (i > 0 ? 1 : 0), q.end());
    before = q;
  }
  mults.push_back(kDegree + 1);
  TColStd_Array1OfReal u_knots(1, 5), v_knots(1, static_cast<int>(s.size()));
  TColStd_Array1OfInteger u_mults(1, 5), v_mults(1, static_cast<int>(s.size()));
  for (int q = 0; q <= 4; ++q) u_knots(q + 1) = kTurn * q / 4, u_mults(q + 1) = q == 0 || q == 4 ? 3 : 2;
  for (std::size_t i = 0; i < s.size(); ++i)
    v_knots(static_cast<int>(i) + 1) = s[i], v_mults(static_cast<int>(i) + 1) = mults[i];
  TColgp_Array2OfPnt poles(1, 9, 1, static_cast<int>(row.size()));
  TColStd_Array2OfReal weights(1, 9, 1, static_cast<int>(row.size()));
  for (int i = 0; i < 9; ++i) {
    // corners of the square round the unit circle have weight cos 45 deg
    const bool corner = i % 2 == 1;
    const Vec2 e = base::unit_at(seam + kTurn * (i % 8) / 8) * (corner ? std::sqrt(2.0) : 1.0);
    for (std::size_t j = 0; j < row.size(); ++j) {
      poles(i + 1, static_cast<int>(j) + 1) = pnt(row[j].c + e.x() * row[j].a + e.y() * row[j].b);
      weights(i + 1, static_cast<int>(j) + 1) = corner ? std::sqrt(0.5) : 1;
    }
  }
  return new Geom_BSplineSurface(poles, weights, u_knots, v_knots, u_mults, v_mults, 2, kDegree);
}

/// Where on the rational quarter arc the angle phi lies (0..pi/2 onto 0..1).
double along_quarter(double phi) {
  const double c = std::cos(phi), s = std::sin(phi), k = std::sqrt(2.0);
  const double a = (1 - k) * (c - s), b = c * k + (2 - k) * s;
  return 2 * s / (b + std::sqrt(b * b + 4 * a * s));
}

}  // namespace

Skin::Skin(const shape::Tube& tube, double from, double to, double seam)
    : tube_(tube), from_(from), to_(to), seam_(seam) {
  const auto& stations = tube.profile.stations();
  const double diameter = stations.front().width;
  cylinder_ = tube.centreline.straight() && std::all_of(stations.begin(), stations.end(), [&](const auto& q) {
                return q.width == diameter && q.depth == diameter;
              });
  if (cylinder_) {
    const shape::Frame f = tube.centreline.at(0);
    const Vec2 e = base::unit_at(seam);
    surface_ =
        new Geom_CylindricalSurface(gp_Ax3(pnt(f.c), dir(f.t), dir(e.x() * f.m + e.y() * f.b)), diameter / 2);
  } else {
    surface_ = spline(tube, from, to, seam);
  }
}

double Skin::eccentric(const shape::Tube& tube, double s, const Vec2& d) {
  const shape::HalfAxes h = tube.profile.half_axes(s);
  return std::atan2(d.y() / h.b, d.x() / h.a);
}

Vec2 Skin::place(const Vec3& p) const {
  const double s = tube_.centreline.nearest(p);
  const shape::Frame f = tube_.centreline.at(s);
  double phi = eccentric(tube_, s, Vec2((p - f.c).dot(f.m), (p - f.c).dot(f.b))) - seam_;
  phi -= kTurn * std::floor(phi / kTurn);
  if (phi > kTurn - 1e-9) phi = 0;  // on the seam
  if (cylinder_) return {phi, s};
  const double quarter = base::kPi / 2;
  const double q = std::min(3.0, std::floor(phi / quarter));
  return {quarter * (q + along_quarter(phi - q * quarter)), s};
}

}  // namespace halfround::solid
