#include "shape/unroll.h"

#include <algorithm>
#include <cmath>

namespace halfround::shape {

namespace {

/// Turn by the angle between two unit vectors, given cosine and sine.
Vec2 turned(const Vec2& d, double c, double s) { return {c * d.x() - s * d.y(), s * d.x() + c * d.y()}; }

/// What the paper keeps of one generator.
struct Rib {
  Vec3 foot, along;  // on the scribe ring: point, unit direction toward the cut
  double speed;      // |dP/du| of the ring there
  double lean;       // outline normal's clock angle less u: the outline turns by du + d(lean)
  double length;     // from ring to cut along the surface
};

Rib rib_of(const Tube& member, const CutPoint& q, double s_scribe) {
  const SurfacePoint at = surface(member, q.e, s_scribe);
  const Radius r = member.profile.at(q.e, s_scribe);
  const double length = generator_length(member, q.e, s_scribe, q.s);
  return {at.p, at.ps.normalized(), std::sqrt(r.r * r.r + r.ru * r.ru), -std::atan2(r.ru, r.r), length};
}

/// Arc length of the ring from a to b by Simpson, paper's half thickness added.
double ring_length(const Tube& member, double s, const CutPoint& a, const CutPoint& b, const Rib& ra, const Rib& rb,
                   double du, double paper) {
  const Radius r = member.profile.at((a.e + b.e).normalized(), s);
  const double middle = std::sqrt(r.r * r.r + r.ru * r.ru);
  return du / 6 * (ra.speed + 4 * middle + rb.speed) + paper / 2 * (du + rb.lean - ra.lean);
}

/// Where the paper stands while it is laid down: generator direction on paper at the last foot.
struct Pen {
  Vec2 foot, along;
  double flat = 0, true_length = 0;  // of the cut so far
};

/// Lays the next generator down beside the last one. `side`: +1 toward growing u, -1 the other way.
void lay(Pen& pen, const Rib& from, const Rib& to, double arc, double side, double edge_chord, double cut_ratio,
         Vec2& edge_before, Vec2& edge, double& error) {
  if (arc > 0) {
    const Vec3 d = to.foot - from.foot;
    const double chord = d.norm();
    const double ca = from.along.dot(d) / chord, cb = to.along.dot(d) / chord;
    const double sa = std::sqrt(std::max(0.0, 1 - ca * ca)), sb = std::sqrt(std::max(0.0, 1 - cb * cb));
    // seen on paper, growing u lies to the right of the generator
    const Vec2 heading = turned(pen.along, ca, -side * sa);
    pen.foot += arc * heading;
    pen.along = turned(heading, cb, side * sb).normalized();
  }
  edge = pen.foot + to.length * pen.along;
  pen.flat += (edge - edge_before).norm();
  pen.true_length += edge_chord * cut_ratio;
  error = std::max(error, std::abs(pen.flat - pen.true_length));
  edge_before = edge;
}

}  // namespace

Unrolled unroll(const Tube& member, const Cut& cut, const UnrollOptions& options) {
  const std::size_t n = cut.points.size();
  base::check(n > 2, "a cut needs points");
  std::vector<Rib> ribs(n);
  for (std::size_t i = 0; i < n; ++i) ribs[i] = rib_of(member, cut.points[i], options.s_scribe);
  // from the mark line both ways, half a turn each; the seam lies opposite the mark line
  std::size_t half = 0;
  while (half + 1 < n && cut.points[half + 1].u <= base::kPi + 1e-12) ++half;
  const Vec2 start_edge(0, ribs[0].length);
  Unrolled right, left;
  double error = 0;
  const auto walk = [&](double side, std::size_t count, Unrolled& out) {
    Pen pen{{0, 0}, {0, 1}};
    Vec2 before = start_edge;
    std::size_t i = 0;
    for (std::size_t k = 1; k <= count; ++k) {
      const std::size_t j = side > 0 ? i + 1 : (i + n - 1) % n;
      const CutPoint &a = cut.points[i], &b = cut.points[j];
      const double ub = side < 0 ? b.u - 2 * base::kPi : b.u, ua = side < 0 && i > 0 ? a.u - 2 * base::kPi : a.u;
      const double du = std::abs(ub - ua);
      const Rib &ra = side > 0 ? ribs[i] : ribs[j], &rb = side > 0 ? ribs[j] : ribs[i];
      const double arc =
          du > 0 ? ring_length(member, options.s_scribe, a, b, ra, rb, du, options.paper) : 0;
      const double chord = (ribs[j].foot - ribs[i].foot).norm();
      const double ratio = chord > 0 && du > 0 ? arc / chord : 1;
      Vec2 edge;
      lay(pen, ribs[i], ribs[j], arc, side, (b.p - a.p).norm(), ratio, before, edge, error);
      out.u.push_back(ub), out.ring.push_back(pen.foot), out.edge.push_back(edge), out.met.push_back(b.met);
      i = j;
    }
  };
  walk(+1, half, right);
  walk(-1, n - half, left);
  Unrolled out;
  const auto put = [&](const Unrolled& from, std::size_t k) {
    out.u.push_back(from.u[k]), out.ring.push_back(from.ring[k]);
    out.edge.push_back(from.edge[k]), out.met.push_back(from.met[k]);
  };
  for (std::size_t k = left.u.size(); k-- > 0;) put(left, k);
  out.u.push_back(0), out.ring.emplace_back(0, 0), out.edge.push_back(start_edge), out.met.push_back(cut.points[0].met);
  for (std::size_t k = 0; k < right.u.size(); ++k) put(right, k);
  out.error = error;
  return out;
}

}  // namespace halfround::shape
