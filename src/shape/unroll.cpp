#include "shape/unroll.h"

#include <algorithm>
#include <cmath>

namespace halfround::shape {

namespace {

/// Turn by the angle between two unit vectors, given cosine and sine.
Vec2 turned(const Vec2& d, double c, double s) {
  return {c * d.x() - s * d.y(), s * d.x() + c * d.y()};
}

/// The scribe ring, read many times: its frame and half axes are worked out once.
class Ring {
 public:
  Ring(const Tube& member, double s) : profile_(member.profile), s_(s), frame_(member.centreline.at(s)) {
    if (profile_.convex()) axes_ = profile_.half_axes(s);
  }
  [[nodiscard]] Radius radius(const Vec2& e) const {
    return profile_.convex() ? axes_.at(e) : profile_.at(e, s_);
  }
  [[nodiscard]] const Frame& frame() const { return frame_; }

 private:
  const Profile& profile_;
  double s_;
  Frame frame_;
  HalfAxes axes_{};
};

/// What the paper keeps of one generator.
struct Rib {
  Vec3 foot, along;  // on the scribe ring: point, unit direction toward the cut
  Vec2 normal;       // of the outline, unit, in the turned frame (out, side)
  double length;     // from ring to cut along the surface
};

/// Without its length.
Rib rib_of(const Ring& ring, const CutPoint& q) {
  const Radius r = ring.radius(q.e);
  const SurfacePoint at = surface(ring.frame(), r, q.e);
  return {at.p, at.ps.normalized(), Vec2(r.r, -r.ru).normalized(), 0};
}

/// Angle between two unit vectors, for the small turns of an outline from point to point; by its sine's
/// series.
double turn_between(const Vec2& a, const Vec2& b) {
  const double sine = a.x() * b.y() - a.y() * b.x();
  if (std::abs(sine) > 0.05) return std::atan2(sine, a.dot(b));
  const double q = sine * sine;
  return sine * (1 + q * (1.0 / 6 + q * (3.0 / 40 + q * 15.0 / 336)));
}

/// Arc length over a chord of the ring between whose ends the outline turns by `turn`: a circle's, which is
/// right to the fourth order of the turn for any smooth outline.
double arc_of(double chord, double turn) {
  const double q = turn * turn;
  return chord * (1 + q / 24 * (1 + q * 7.0 / 240));
}

/// Where the paper stands while it is laid down: generator direction on paper at the last foot.
struct Pen {
  Vec2 foot, along;
  double flat = 0, true_length = 0;  // of the cut so far
};

/// Lays the next generator down beside the last one. `side`: +1 toward growing u, -1 the other way.
void lay(Pen& pen, const Rib& from, const Rib& to, double chord, double arc, double side, double edge_chord,
         Vec2& edge_before, Vec2& edge, double& error) {
  double stretch = 1;
  if (chord > 0) {
    const Vec3 d = to.foot - from.foot;
    stretch = arc / chord;
    const double ca = from.along.dot(d) / chord, cb = to.along.dot(d) / chord;
    const double sa = std::sqrt(std::max(0.0, 1 - ca * ca)), sb = std::sqrt(std::max(0.0, 1 - cb * cb));
    // seen on paper, growing u lies to the right of the generator
    const Vec2 heading = turned(pen.along, ca, -side * sa);
    pen.foot += arc * heading;
    pen.along = turned(heading, cb, side * sb);
  }
  edge = pen.foot + to.length * pen.along;
  // both lengths without the paper's thickness, which stretches what runs round the tube and not what runs
  // along it
  const Vec2 step = edge - edge_before;
  const double along = step.dot(pen.along), across2 = step.squaredNorm() - along * along;
  pen.flat += std::sqrt(along * along + std::max(0.0, across2) / (stretch * stretch));
  pen.true_length += edge_chord;
  error = std::max(error, std::abs(pen.flat - pen.true_length));
  edge_before = edge;
}

}  // namespace

Unrolled unroll(const Tube& member, const Cut& cut, const UnrollOptions& options) {
  const std::size_t n = cut.points.size();
  base::check(n > 2, "a cut needs points");
  const Ring ring(member, options.s_scribe);
  std::vector<Rib> ribs;
  ribs.reserve(n);
  double s_most = options.s_scribe;
  for (const CutPoint& q : cut.points) s_most = std::max(s_most, q.s);
  const bool ruled = member.centreline.straight() && member.profile.ruled(options.s_scribe, s_most);
  const bool known = options.lengths.size() == n;
  for (std::size_t i = 0; i < n; ++i) {
    const CutPoint& q = cut.points[i];
    Rib rib = rib_of(ring, q);
    // where generators are straight lines their length is that of a chord
    rib.length = known   ? options.lengths[i]
                 : ruled ? (q.p - rib.foot).norm()
                         : generator_length(member, q.e, options.s_scribe, q.s);
    ribs.push_back(rib);
  }
  // from the mark line both ways, half a turn each; the seam lies opposite the mark line
  std::size_t half = 0;
  while (half + 1 < n && cut.points[half + 1].u <= base::kPi + 1e-12) ++half;
  const Vec2 start_edge(0, ribs[0].length);
  Unrolled out;
  out.u.resize(n + 1), out.ring.resize(n + 1), out.edge.resize(n + 1), out.met.resize(n + 1);
  const auto put = [&](std::size_t at, double u, const Vec2& foot, const Vec2& edge, bool met) {
    out.u[at] = u, out.ring[at] = foot, out.edge[at] = edge, out.met[at] = met;
  };
  const std::size_t middle = n - half;
  put(middle, 0, {0, 0}, start_edge, cut.points[0].met);
  const auto walk = [&](double side, std::size_t count) {
    Pen pen{{0, 0}, {0, 1}};
    Vec2 before = start_edge;
    std::size_t i = 0;
    for (std::size_t k = 1; k <= count; ++k) {
      const std::size_t j = side > 0 ? i + 1 : (i + n - 1) % n;
      const CutPoint &a = cut.points[i], &b = cut.points[j];
      const double ub = side < 0 ? b.u - 2 * base::kPi : b.u,
                   ua = side < 0 && i > 0 ? a.u - 2 * base::kPi : a.u;
      const double du = std::abs(ub - ua);
      const Rib &ra = side > 0 ? ribs[i] : ribs[j], &rb = side > 0 ? ribs[j] : ribs[i];
      // the outline turns by du and by as much as its normal turns against the generator
      const double chord = du > 0 ? (rb.foot - ra.foot).norm() : 0,
                   turn = du + turn_between(ra.normal, rb.normal);
      const double arc = arc_of(chord, turn) + options.paper / 2 * turn;
      Vec2 edge;
      lay(pen, ribs[i], ribs[j], chord, du > 0 ? arc : 0, side, (b.p - a.p).norm(), before, edge, out.error);
      put(side > 0 ? middle + k : middle - k, ub, pen.foot, edge, b.met);
      i = j;
    }
  };
  walk(+1, half);
  walk(-1, n - half);
  return out;
}

}  // namespace halfround::shape
