#include "shop/rough_cut.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>

#include "shape/unroll.h"
#include "shop/least_over.h"

namespace halfround::shop {

namespace {

using base::Vec2;
using base::Vec3;

constexpr double kTurn = 2 * base::kPi;
constexpr double kWorth = 1;        // mm less at the worst place make a second cut worth while; ours
constexpr std::size_t kStarts = 4;  // of the coarse search, each followed to its end
constexpr std::size_t kFew = 48;    // points of each edge that the search looks at
constexpr double kToSpare =
    2;  // degrees under the steepest that the search keeps, for it looks at few points
constexpr double kOffMiddle = 0.5;  // the planes meet within this share of the tube's radius

double turned(double u) {
  const double r = std::fmod(u, kTurn);
  return r < 0 ? r + kTurn : r;
}

/// A surface of one or two planes: z = base + along l + (w > 0 ? first : -second) w, where w is measured from
/// the line in which they meet and l along it.
struct Crease {
  double turn = 0;  // direction of w
  double off = 0;   // of the line from the tube's axis, along w
  bool two = false;
  Eigen::VectorXd k;  // base, then one plane: x, y; two planes: along, first, second
  double cost = INFINITY;

  [[nodiscard]] Eigen::VectorXd row(double x, double y) const {
    if (!two) return Eigen::Vector3d(1, x, y);
    const Vec2 e = base::unit_at(turn);
    const double w = e.x() * x + e.y() * y - off, l = e.x() * y - e.y() * x;
    return Eigen::Vector4d(1, l, std::max(w, 0.0), std::max(-w, 0.0));
  }
  [[nodiscard]] double at(double x, double y) const { return row(x, y).dot(k); }
  /// Slope of a plane in x and y: first, second.
  [[nodiscard]] Vec2 slope(bool first) const {
    if (!two) return {k(1), k(2)};
    const Vec2 e = base::unit_at(turn);
    return (first ? k(2) : -k(3)) * e + k(1) * Vec2(-e.y(), e.x());
  }
};

/// Both edges in the frame at the scribe line.
struct Edges {
  shape::Frame frame;
  double toward = 1;
  std::vector<Vec3> all, few;
  double radius = 0;

  [[nodiscard]] Vec3 own(const Vec3& p) const {
    const Vec3 d = p - frame.c;
    return {d.dot(frame.m), d.dot(frame.b), toward * d.dot(frame.t)};
  }
};

Edges edges_of(const bike::Member& member, const study::Mitre& m) {
  Edges out;
  out.frame = member.tube.centreline.at(m.s_scribe);
  out.toward = m.end == bike::End::end ? 1 : -1;
  for (const auto* edge : {&m.outer, &m.inner}) {
    const std::size_t step = std::max<std::size_t>(1, edge->size() / kFew);
    for (std::size_t i = 0; i < edge->size(); ++i) {
      out.all.push_back(out.own((*edge)[i].point));
      if (i % step == 0) out.few.push_back(out.all.back());
      out.radius = std::max(out.radius, std::hypot(out.all.back().x(), out.all.back().y()));
    }
  }
  return out;
}

/// The best planes for where they meet.
///   in  steepest  a pair with a plane that leans more is none, rad
void fit(Crease& c, const std::vector<Vec3>& points, const RoughWishes& w, double steepest) {
  Eigen::MatrixXd rows(points.size(), c.two ? 4 : 3);
  Eigen::VectorXd over(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto n = static_cast<Eigen::Index>(i);
    rows.row(n) = c.row(points[i].x(), points[i].y()).transpose();
    over(n) = points[i].z() + w.leave;
  }
  c.k = least_over(rows, over);
  c.cost = (rows * c.k - over).squaredNorm();
  const double steep = std::tan(steepest);
  if (c.two && (c.slope(true).norm() > steep || c.slope(false).norm() > steep)) c.cost = INFINITY;
}

Crease best_pair(const Edges& edges, const RoughWishes& w) {
  const auto tried = [&](double turn, double off, const std::vector<Vec3>& points) {
    Crease c{.turn = turn, .off = off, .two = true, .k = {}};
    if (std::abs(off) <= kOffMiddle * edges.radius) fit(c, points, w, base::to_rad(w.steepest - kToSpare));
    return c;
  };
  std::vector<Crease> found;
  const double step = base::to_rad(15), aside = 0.25 * edges.radius;
  for (int i = 0; i < 12; ++i) {
    for (int j = -2; j <= 2; ++j) {
      Crease c = tried(i * step, j * aside, edges.few);
      if (std::isfinite(c.cost)) found.push_back(std::move(c));
    }
  }
  if (found.empty()) return {};
  std::ranges::stable_sort(found, {}, &Crease::cost);
  found.resize(std::min(found.size(), kStarts));
  // closer and closer round the best few
  for (Crease& best : found) {
    double d_turn = step / 3, d_off = aside / 2;
    while (d_turn > base::to_rad(0.1)) {
      Crease better = best;
      for (int i = -1; i <= 1; ++i) {
        for (int j = -1; j <= 1; ++j) {
          Crease c = tried(best.turn + i * d_turn, best.off + j * d_off, edges.few);
          if (c.cost < better.cost - 1e-9) better = std::move(c);
        }
      }
      if (better.cost < best.cost) {
        best = std::move(better);
      } else {
        d_turn /= 2, d_off /= 2;
      }
    }
    fit(best, edges.all, w, base::to_rad(w.steepest));
  }
  return *std::ranges::min_element(found, {}, &Crease::cost);
}

/// Along the surface from the scribe line to where the generator at e leaves what the saw keeps, starting at
/// the finished edge.
double depth_at(const bike::Member& member, const study::Mitre& m, const Edges& edges, const Crease& c,
                const Vec2& e, double s_edge) {
  const auto beyond = [&](double s) {
    const Vec3 p = edges.own(shape::surface(member.tube, e, s).p);
    return p.z() - c.at(p.x(), p.y());
  };
  double low = s_edge, high = s_edge;
  for (int i = 0; i < 400 && beyond(high) < 0; ++i) low = high, high += edges.toward;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (beyond(middle) < 0 ? low : high) = middle;
  }
  const double s = 0.5 * (low + high);
  return edges.toward > 0 ? shape::generator_length(member.tube, e, m.s_scribe, s)
                          : shape::generator_length(member.tube, e, s, m.s_scribe);
}

/// The finished edge at a clock angle, along the centreline.
double edge_at(const study::Mitre& m, double u) {
  const auto away = [&](const study::EdgePoint& p) { return std::abs(std::remainder(p.u - u, kTurn)); };
  return std::ranges::min_element(m.outer, {}, away)->s;
}

/// Depths at the 24 positions; raised until they keep what they must along the surface too, where a taper or
/// a bend turns the generators.
std::vector<double> depths_of(const bike::Member& member, const study::Mitre& m, const Edges& edges,
                              Crease& c, const RoughWishes& w) {
  std::vector<double> out(m.clock.size());
  for (int round = 0; round < 20; ++round) {
    double lacks = 0;
    for (std::size_t i = 0; i < m.clock.size(); ++i) {
      const Vec2 e = base::unit_at(m.clock[i].u);
      out[i] = depth_at(member, m, edges, c, e, edge_at(m, m.clock[i].u));
      lacks = std::max(lacks, w.leave - (out[i] - m.clock[i].outer));
    }
    if (lacks < 1e-9) break;
    c.k(0) += lacks;
  }
  return out;
}

double most_of(const study::Mitre& m, const std::vector<double>& depth) {
  double most = 0;
  for (std::size_t i = 0; i < depth.size(); ++i) most = std::max(most, depth[i] - m.clock[i].outer);
  return most;
}

SawPlane plane_of(const Crease& c, bool first) {
  const Vec2 slope = c.slope(first);
  SawPlane out;
  // on the axis itself: back from the line where they meet
  out.at_axis = c.k(0) - (c.two ? c.off * (first ? c.k(2) : -c.k(3)) : 0);
  out.lean = std::atan(slope.norm());
  // a lean that no saw can follow is no lean
  if (out.lean > base::to_rad(0.05)) out.u_longest = turned(std::atan2(slope.y(), slope.x()));
  return out;
}

/// Where the two lines meet on the tube, on either side of the first plane's middle.
void put_meeting(RoughCut& out, const bike::Member& member, const study::Mitre& m, const Edges& edges,
                 const Crease& c) {
  const Vec2 across = base::unit_at(c.turn);
  for (std::size_t side = 0; side < 2; ++side) {
    // from the middle of the first plane's side round to the middle of the other
    double low = 0, high = base::kPi;
    const double way = side == 0 ? 1 : -1;
    double s = m.s_scribe;
    for (int i = 0; i < 40; ++i) {
      const double u = c.turn + way * 0.5 * (low + high);
      s = edge_at(m, turned(u));
      const Vec3 p = edges.own(shape::surface(member.tube, base::unit_at(u), s).p);
      (across.dot(Vec2(p.x(), p.y())) - c.off > 0 ? low : high) = 0.5 * (low + high);
    }
    out.u_meet[side] = turned(c.turn + way * 0.5 * (low + high));
    out.depth_meet[side] = depth_at(member, m, edges, c, base::unit_at(out.u_meet[side]), s);
  }
}

}  // namespace

RoughCut rough_cut(const bike::Member& member, const study::Mitre& m, const RoughWishes& w) {
  const Edges edges = edges_of(member, m);
  Crease one;
  fit(one, edges.all, w, base::kPi / 2);
  RoughCut out;
  out.depth = depths_of(member, m, edges, one, w);
  out.most = out.most_by_one = most_of(m, out.depth);
  out.planes = {plane_of(one, true)};
  if (out.most <= w.few) return out;
  Crease two = best_pair(edges, w);
  if (!std::isfinite(two.cost)) return out;
  std::vector<double> depth = depths_of(member, m, edges, two, w);
  const double most = most_of(m, depth);
  if (most > out.most - kWorth) return out;
  out.shape = two.k(2) + two.k(3) > 0 ? RoughShape::notch : RoughShape::roof;
  out.depth = std::move(depth), out.most = most;
  out.planes = {plane_of(two, true), plane_of(two, false)};
  out.planes[0].across = std::atan(two.k(2)), out.planes[1].across = std::atan(two.k(3));
  out.u_first = turned(two.turn);
  put_meeting(out, member, m, edges, two);
  return out;
}

}  // namespace halfround::shop
