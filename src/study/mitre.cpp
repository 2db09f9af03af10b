#include "study/mitre.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"

namespace halfround::study {

using base::Result;

namespace {

constexpr double kTurn = 2 * base::kPi;

/// The member walked toward the end that is cut; for a start end the tube is reversed and u turns round.
struct Walk {
  shape::Tube tube;
  double length = 0;  // of the tube's centreline: what s and the member's own s add up to
  double stock = 0;   // where the stock ends, beyond the cut
  bool reversed = false;
  [[nodiscard]] double s_own(double s) const { return reversed ? length - s : s; }
  [[nodiscard]] double u_own(double u) const { return reversed && u > 0 ? kTurn - u : u; }
};

Walk walk_of(const bike::Member& member, bike::End end) {
  if (end == bike::End::end) return {member.tube, member.tube.length(), member.stock_length, false};
  return {member.tube.reversed(), member.tube.length(), member.tube.length(), true};
}

/// Along the surface, from the scribe ring to each point.
std::vector<double> depths_of(const shape::Tube& surface, const shape::Cut& cut, double s_scribe) {
  std::vector<double> out;
  out.reserve(cut.points.size());
  for (const shape::CutPoint& q : cut.points)
    out.push_back(shape::generator_length(surface, q.e, s_scribe, q.s));
  return out;
}

/// The walk's cut as an edge in the member's own clock angle, rising.
std::vector<EdgePoint> edge_of(const Walk& walk, const shape::Cut& cut, const std::vector<double>& depth) {
  std::vector<EdgePoint> edge;
  edge.reserve(cut.points.size());
  for (std::size_t i = 0; i < cut.points.size(); ++i) {
    const shape::CutPoint& q = cut.points[i];
    edge.push_back({walk.u_own(q.u), q.p, walk.s_own(q.s), depth[i], q.met});
  }
  if (walk.reversed) std::reverse(edge.begin() + 1, edge.end());
  return edge;
}

double length_met(const std::vector<EdgePoint>& edge) {
  double sum = 0;
  for (std::size_t i = 0; i < edge.size(); ++i) {
    const EdgePoint &a = edge[i], &b = edge[(i + 1) % edge.size()];
    if (a.met && b.met) sum += (b.point - a.point).norm();
  }
  return sum;
}

std::vector<Passing> passing_of(const std::vector<EdgePoint>& edge) {
  std::vector<Passing> out;
  const std::size_t n = edge.size();
  std::size_t first = 0;
  while (first < n && !edge[first].met) ++first;
  if (first == n) return out;
  for (std::size_t k = 0; k < n; ++k) {
    const EdgePoint& a = edge[(first + k) % n];
    const EdgePoint& b = edge[(first + k + 1) % n];
    const double u = b.u + (b.u < edge[first].u - 1e-12 ? kTurn : 0);
    if (a.met && !b.met) out.push_back({u, u});
    if (!b.met && !out.empty()) out.back().to = u;
  }
  return out;
}

/// Depth of an edge at exactly one clock angle: the generators of the table are among its points.
const EdgePoint* at_angle(const std::vector<EdgePoint>& edge, double u) {
  const EdgePoint* best = nullptr;
  for (const EdgePoint& q : edge) {
    if (std::abs(q.u - u) < 1e-9 && (!best || q.met)) best = &q;
  }
  return best;
}

/// Lean of the cut face at its outer edge from square to the wall, in the plane of wall and generator.
double bevel_at(const Walk& walk, const shape::Tube& target, const Vec3& plane_normal, double u, double s,
                bool met) {
  // turning u and s round twice leads back, so the same two calls go either way
  const shape::SurfacePoint q = shape::surface(walk.tube, base::unit_at(walk.u_own(u)), walk.s_own(s));
  const Vec3 normal = met ? shape::level(target, q.p).gradient : Vec3(-plane_normal);
  const double along = normal.dot(q.ps.normalized()), across = normal.dot(q.normal());
  return std::atan2(across, -along);
}

void fill_table(Mitre& m, const Walk& walk, const shape::Tube& target, const Vec3& plane_normal) {
  for (int i = 0; i < 24; ++i) {
    const double u = kTurn * i / 24;
    const EdgePoint* o = at_angle(m.outer, u);
    base::check(o != nullptr, "the depth table's generators are among the cut's points");
    const EdgePoint* in = at_angle(m.inner, u);
    const double wall = walk.tube.profile.wall(walk.s_own(o->s));
    const double bevel =
        in ? std::atan2(o->depth - in->depth, wall) : bevel_at(walk, target, plane_normal, u, o->s, o->met);
    m.clock.push_back({u, o->depth, in ? in->depth : NAN, bevel, o->met});
  }
}

void fill_extremes(Mitre& m) {
  const auto by_depth = [](const EdgePoint& a, const EdgePoint& b) { return a.depth < b.depth; };
  const auto [lo, hi] = std::minmax_element(m.outer.begin(), m.outer.end(), by_depth);
  m.lowest = lo->depth, m.u_lowest = lo->u, m.highest = hi->depth, m.u_highest = hi->u;
  const auto by_s = [](const EdgePoint& a, const EdgePoint& b) { return a.s < b.s; };
  for (const auto* edge : {&m.outer, &m.inner}) {
    if (edge->empty()) continue;
    const auto [least, most] = std::minmax_element(edge->begin(), edge->end(), by_s);
    if (edge == &m.outer || least->s < m.s_least) m.s_least = least->s;
    if (edge == &m.outer || most->s > m.s_most) m.s_most = most->s;
  }
}

/// Direction in which a joint's member comes in.
Vec3 incoming(const bike::Assembly& assembly, const bike::Joint& joint) {
  const bike::Member* m = bike::find_member(assembly, joint.member);
  return joint.end == bike::End::end ? m->tube.centreline.at(m->s_end).t
                                     : Vec3(-m->tube.centreline.at(m->s_start).t);
}

/// Normal of the plane where passing edges stop: the member's own direction; where another member comes
/// against it on the same target, the plane midway between the two, so that their edges meet.
Vec3 facing(const bike::Assembly& assembly, const bike::Joint& joint) {
  const Vec3 own = incoming(assembly, joint);
  for (const bike::Joint& other : assembly.joints) {
    if (other.kind != bike::JointKind::mitred || other.onto != joint.onto || other.member == joint.member)
      continue;
    const Vec3 against = incoming(assembly, other);
    if (own.dot(against) < 0) return own - against;
  }
  return own;
}

/// The scribe ring: a whole millimetre of centreline back from the stock's end that is cut, clear of every
/// cut point. A gap that falls short by less than can be scribed counts as kept: the same job told in inches
/// has the same ring.
double scribe_for(const shape::Cut& outer, double stock, double gap) {
  constexpr double kSlack = 0.01;  // mm
  double least = INFINITY;
  for (const shape::CutPoint& q : outer.points) least = std::min(least, q.s);
  return stock - std::ceil(stock - (least - gap) - kSlack);
}

}  // namespace

Result<Mitre> mitre(const bike::Assembly& assembly, const bike::Joint& joint, const MitreOptions& options) {
  base::check(joint.kind == bike::JointKind::mitred, "only a mitred joint has a mitre");
  const bike::Member* member = bike::find_member(assembly, joint.member);
  const bike::Member* target = bike::find_member(assembly, joint.onto);
  base::check(member && target, "a joint names members of its assembly");
  Mitre m;
  m.member = joint.member, m.end = joint.end, m.onto = joint.onto;
  const Walk walk = walk_of(*member, joint.end);
  // from half way up the used part: outside the target, and the stock may be too short without harm
  const double middle = 0.5 * (member->s_start + member->s_end);
  const double end = joint.end == bike::End::end ? member->s_end : walk.length - member->s_start;
  const shape::CutSearch search{
      walk.reversed ? walk.length - middle : middle,
      end + 2 * target->tube.profile.max_radius() + 2 * walk.tube.profile.max_radius(),
      facing(assembly, joint)};
  const auto named = [&](base::Problem p) {
    p.where.key = joint.member.name;
    return tl::unexpected(std::move(p));
  };
  const auto outer = shape::cut(walk.tube, target->tube, search);
  if (!outer) return named(outer.error());
  const Vec3 nearest = walk.tube.centreline.point(walk.tube.centreline.nearest(outer->plane_point));
  if (const double beside = shape::level(target->tube, nearest).value; beside >= 0) {
    return named(
        {"mitre-beside",
         {},
         base::say("The tube's centreline passes {:.2f} mm outside the one it should be mitred onto, so "
                   "less than half of its end would meet it.",
                   beside),
         base::say("Bring the two centrelines at least {:.1f} mm nearer to each other.", beside + 0.1)});
  }
  const double s_scribe = scribe_for(*outer, walk.stock, options.scribe_gap);
  m.s_scribe = walk.s_own(s_scribe);
  m.scribe_from_end = shape::tape(walk.tube, s_scribe, walk.stock);
  m.scribe_from_other =
      shape::tape(walk.tube, walk.reversed ? walk.length - member->stock_length : 0, s_scribe);
  for (shape::Tape* t : {&m.scribe_from_end, &m.scribe_from_other})
    t->clock_outside = walk.u_own(t->clock_outside);
  const std::vector<double> depths = depths_of(walk.tube, *outer, s_scribe);
  m.outer = edge_of(walk, *outer, depths);
  if (walk.tube.profile.wall(end) > 0) {
    const shape::Tube bore = walk.tube.inner();
    const auto inner = shape::cut(bore, target->tube, search);
    if (inner) m.inner = edge_of(walk, *inner, depths_of(bore, *inner, s_scribe));
  }
  m.template_ = shape::unroll(walk.tube, *outer, {s_scribe, options.paper, depths});
  m.paper_turn = walk.reversed ? -1 : 1;
  for (double& u : m.template_.u) u *= m.paper_turn;
  m.joint_length = length_met(m.outer);
  m.passed_by = outer->passed_by;
  m.stop_point = outer->plane_point, m.stop_normal = outer->plane_normal;
  m.passing = passing_of(m.outer);
  fill_table(m, walk, target->tube, outer->plane_normal);
  fill_extremes(m);
  m.short_by = joint.end == bike::End::end ? std::max(0.0, m.s_most - member->stock_length)
                                           : std::max(0.0, -m.s_least);
  return m;
}

namespace {

/// Passing edges of two members on one target come up against each other where their points coincide.
bool come_together(const Mitre& a, const Mitre& b) {
  if (a.passing.empty() || b.passing.empty()) return false;
  for (const EdgePoint& p : a.outer) {
    if (p.met) continue;
    for (const EdgePoint& q : b.outer) {
      if (!q.met && (p.point - q.point).squaredNorm() < 1) return true;
    }
  }
  return false;
}

}  // namespace

Result<std::vector<Mitre>> mitres(const bike::Assembly& assembly, const MitreOptions& options) {
  std::vector<Mitre> out;
  for (const bike::Joint& joint : assembly.joints) {
    if (joint.kind != bike::JointKind::mitred) continue;
    auto m = mitre(assembly, joint, options);
    if (!m) return tl::unexpected(m.error());
    out.push_back(std::move(*m));
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      Mitre &a = out[i], &b = out[k];
      if (a.onto == b.onto && come_together(a, b)) a.meets = b.member, b.meets = a.member;
    }
  }
  return out;
}

}  // namespace halfround::study
