#include "shop/rotary.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

#include "base/number.h"

namespace halfround::shop {
namespace {

using base::kPi;
using base::to_rad;
using base::Vec2;
using base::Vec3;

constexpr int kGrid = 1440;  // clock positions an edge is read at: every quarter of a degree
constexpr double kTurn = 2 * kPi;
constexpr double kStep = to_rad(2);  // from one move to the next
constexpr double kThin = 0.001;      // mm a move may leave the exact path by
constexpr double kStraight = 0.5;    // mm a tube may run out and still be called straight here [our own]
constexpr double kOver = to_rad(5);  // beyond the full turn, so that no step is left where it began

/// An edge as the machine sees it: X and distance from the axis by clock angle.
struct Edge {
  std::vector<double> x, r;  // kGrid values, the first at clock 0
};

struct Scene {
  Vec3 origin, axis, mark, side;  // axis toward the end that is cut
  Edge outer;
  std::optional<Edge> inner;
  double radius = 0, stock_end = 0;
};

/// In the machine: clock angle, X, distance from the axis.
struct Seen {
  double u, x, r;
};
Seen seen(const Scene& scene, const Vec3& p) {
  const Vec3 d = p - scene.origin;
  const Vec2 across(d.dot(scene.mark), d.dot(scene.side));
  double u = std::atan2(across.y(), across.x());
  if (u < 0) u += kTurn;
  return {u, d.dot(scene.axis), across.norm()};
}

/// At the clock angles of the grid, straight between the study's points. Where an edge jumps at one clock
/// angle the farther value is taken: steel that may have to stay, stays.
Edge read_edge(const Scene& scene, const std::vector<study::EdgePoint>& points) {
  std::vector<Seen> all;
  for (const study::EdgePoint& p : points) all.push_back(seen(scene, p.point));
  std::ranges::stable_sort(all, {}, &Seen::u);
  Edge out{std::vector<double>(kGrid, -INFINITY), std::vector<double>(kGrid, 0)};
  const auto take = [&](int i, double x, double r) {
    i = (i % kGrid + kGrid) % kGrid;
    if (x > out.x[i]) out.x[i] = x, out.r[i] = r;
  };
  const std::size_t n = all.size();
  for (std::size_t k = 0; k < n; ++k) {
    const Seen& a = all[k];
    Seen b = all[(k + 1) % n];
    if (k + 1 == n) b.u += kTurn;
    const double first = std::ceil(a.u / kTurn * kGrid - 1e-9), last = std::floor(b.u / kTurn * kGrid + 1e-9);
    for (double g = first; g <= last; ++g) {
      const double share =
          b.u - a.u > 1e-12 ? std::clamp((g / kGrid * kTurn - a.u) / (b.u - a.u), 0.0, 1.0) : 0;
      take(static_cast<int>(g), a.x + share * (b.x - a.x), a.r + share * (b.r - a.r));
    }
  }
  return out;
}

Scene scene_of(const bike::Assembly& assembly, const study::Mitre& mitre) {
  const bike::Member* member = bike::find_member(assembly, mitre.member);
  base::check(member != nullptr, "a mitre's member is in its assembly");
  const shape::Frame f = member->tube.centreline.at(0.5 * (mitre.s_least + mitre.s_most));
  const bool end = mitre.end == bike::End::end;
  Scene scene{
      .origin = f.c, .axis = end ? f.t : Vec3(-f.t), .mark = f.m, .side = f.b, .outer = {}, .inner = {}};
  // X is 0 where the mark line crosses the scribe line
  scene.origin += (shape::surface(member->tube, {1, 0}, mitre.s_scribe).p - f.c).dot(scene.axis) * scene.axis;
  scene.outer = read_edge(scene, mitre.outer);
  if (!mitre.inner.empty()) scene.inner = read_edge(scene, mitre.inner);
  scene.stock_end =
      (member->tube.centreline.point(end ? member->stock_length : 0) - scene.origin).dot(scene.axis);
  // the widest place from a little before the scribe line to the stock's end
  const double s_end = end ? std::max(member->stock_length, mitre.s_most) : std::min(0.0, mitre.s_least);
  for (int i = 0; i <= 40; ++i) {
    const double s = mitre.s_scribe + (s_end - mitre.s_scribe) * i / 40;
    for (int k = 0; k < 36; ++k) {
      const Vec2 e = base::unit_at(kTurn * k / 36);
      scene.radius = std::max(scene.radius, seen(scene, shape::surface(member->tube, e, s).p).r);
    }
  }
  return scene;
}

double value_at(const std::vector<double>& grid, double u) {
  double at = u / kTurn * kGrid;
  at -= kGrid * std::floor(at / kGrid);
  const int i = static_cast<int>(at) % kGrid;
  return grid[i] + (at - std::floor(at)) * (grid[(i + 1) % kGrid] - grid[i]);
}

/// For every generator the mill's footprint may touch at a turn `a`: calls f(grid index, half chord of the
/// mill over it, height).
template <class F>
void under_mill(const Edge& edge, double a, double radius, F&& f) {
  const int middle = static_cast<int>(std::lround(a / kTurn * kGrid));
  for (int k = -kGrid / 4; k <= kGrid / 4; ++k) {
    const int i = ((middle + k) % kGrid + kGrid) % kGrid;
    const double v = kTurn * i / kGrid - a;
    const double y = edge.r[i] * std::sin(v), z = edge.r[i] * std::cos(v);
    if (z > 0 && std::abs(y) < radius) f(i, std::sqrt(radius * radius - y * y), z);
  }
}

/// How far back the mill may come at a turn without touching what stays.
double mill_x(const Scene& scene, double a, double radius) {
  double x = -INFINITY;
  for (const Edge* edge : {&scene.outer, &*scene.inner})
    under_mill(*edge, a, radius, [&](int i, double half, double) { x = std::max(x, edge->x[i] + half); });
  return x;
}

/// The moves after the first one: at the grid's angles, those left out that lie within kThin of the straight
/// way between their neighbours, and no step longer than kStep.
std::vector<RotaryMove> thinned(const std::function<RotaryMove(double)>& at) {
  const int n = static_cast<int>(std::lround((kTurn + kOver) / kTurn * kGrid));
  std::vector<RotaryMove> all, out;
  for (int i = 0; i <= n; ++i) all.push_back(at(kTurn * i / kGrid));
  std::size_t from = 0;
  for (std::size_t i = 1; i < all.size(); ++i) {
    bool straight = i + 1 < all.size() && all[i + 1].a - all[from].a <= kStep + 1e-9;
    for (std::size_t k = from + 1; straight && k <= i; ++k) {
      const double share = (all[k].a - all[from].a) / (all[i + 1].a - all[from].a);
      straight = std::abs(all[from].x + share * (all[i + 1].x - all[from].x) - all[k].x) < kThin &&
                 std::abs(all[from].z + share * (all[i + 1].z - all[from].z) - all[k].z) < kThin;
    }
    if (straight) continue;
    out.push_back(all[i]), from = i;
  }
  return out;
}

void cut_round(RotaryPath& path, const Scene& scene) {
  const RotaryTool& tool = path.tool;
  const double r = tool.diameter / 2, safe = scene.radius + tool.safe_height;
  double z_mill = 0;
  if (path.mills) z_mill = *std::ranges::min_element(scene.inner->r) - tool.through;
  const auto at = [&](double a) {
    const double x = path.mills ? mill_x(scene, a, r) : value_at(scene.outer.x, a);
    return RotaryMove{false, x, a, path.mills ? z_mill : value_at(scene.outer.r, a), tool.feed};
  };
  RotaryMove first = at(0);
  path.moves.push_back({true, first.x, 0, safe, 0});
  first.feed = tool.plunge_feed;
  path.moves.push_back(first);
  const auto way = thinned(at);
  path.moves.insert(path.moves.end(), way.begin(), way.end());
  RotaryMove last = path.moves.back();
  path.moves.push_back({false, last.x, last.a, safe, tool.plunge_feed});
}

/// A mill needs a known wall, and room in the bore.
std::string why_not_mill(const Scene& scene, const RotaryTool& tool) {
  if (!scene.inner) return "the wall is not known, so nobody can say how deep a mill has to go";
  const double bore = *std::ranges::min_element(scene.inner->r), most = 2 * (bore - tool.through - 1);
  if (tool.diameter >= std::min(most, bore))
    return fmt::format("a mill of {} mm is too wide for a bore of {} mm; less than {} mm works",
                       base::fixed(tool.diameter, 1), base::fixed(2 * bore, 1),
                       base::fixed(std::min(most, bore), 1));
  return "";
}

double surface_way(const RotaryMove& from, const RotaryMove& to) {
  const double round = 0.5 * (from.z + to.z) * (to.a - from.a);
  return std::sqrt(std::pow(to.x - from.x, 2) + round * round + std::pow(to.z - from.z, 2));
}

}  // namespace

std::string RotaryPath::why_not() const {
  if (run_out > kStraight)
    return fmt::format("the tube bends between scribe line and cut: its middle leaves the axis by {} mm",
                       base::fixed(run_out, 1));
  if (!dry.fine()) return "the dry run finds steel cut that has to stay";
  return "";
}

DryRun dry_run(const bike::Assembly& assembly, const study::Mitre& mitre, const RotaryPath& path) {
  const Scene scene = scene_of(assembly, mitre);
  const double radius = path.tool.diameter / 2;
  DryRun out{.lowest = INFINITY};
  std::vector<double> outer(kGrid, INFINITY), inner(kGrid, INFINITY);  // X up to which steel is left
  const auto mill_at = [&](double x, double a, double z_tip) {
    const auto pass = [&](const Edge& edge, std::vector<double>& left) {
      under_mill(edge, a, radius, [&](int i, double half, double z) {
        if (z < z_tip) return;
        left[i] = std::min(left[i], x - half);
        if (const double in = edge.x[i] - (x - half); in > out.gouged)
          out.gouged = in, out.u_gouged = kTurn * i / kGrid;
      });
    };
    pass(scene.outer, outer);
    if (scene.inner) pass(*scene.inner, inner);
  };
  for (std::size_t k = 0; k < path.moves.size(); ++k) {
    const RotaryMove& to = path.moves[k];
    const RotaryMove& from = path.moves[k == 0 ? 0 : k - 1];
    out.lowest = std::min(out.lowest, to.z);
    const int n = std::max(1, static_cast<int>(std::ceil(std::abs(to.a - from.a) / to_rad(0.25))));
    for (int i = 1; i <= n; ++i) {
      const double share = static_cast<double>(i) / n;
      const double x = from.x + share * (to.x - from.x), a = from.a + share * (to.a - from.a),
                   z = from.z + share * (to.z - from.z);
      if (to.rapid) {
        out.rapid_in_steel = out.rapid_in_steel || (z < scene.radius && x - radius < scene.stock_end);
      } else if (path.mills) {
        mill_at(x, a, z);
      } else if (z <= value_at(scene.outer.r, a) + 1e-9) {
        // the point rests on the surface: what it draws beyond or short of the edge
        const double off = value_at(scene.outer.x, a) - x;
        if (off > out.gouged) out.gouged = off, out.u_gouged = a;
        if (-off > out.left_outer) out.left_outer = -off, out.u_left_outer = a;
      }
    }
    if (!to.rapid && k > 0 && to.feed > 0) out.minutes += surface_way(from, to) / to.feed;
  }
  if (!path.mills) return out;
  for (int i = 0; i < kGrid; ++i) {
    const double a = outer[i] - scene.outer.x[i], b = inner[i] - scene.inner->x[i];
    if (a > out.left_outer) out.left_outer = a, out.u_left_outer = kTurn * i / kGrid;
    if (b > out.left_inner) out.left_inner = b, out.u_left_inner = kTurn * i / kGrid;
  }
  return out;
}

RotaryPath rotary_path(const bike::Assembly& assembly, const study::Mitre& mitre, const RotaryTool& tool) {
  const Scene scene = scene_of(assembly, mitre);
  RotaryPath path;
  path.member = mitre.member, path.end = mitre.end, path.onto = mitre.onto, path.tool = tool;
  path.radius = scene.radius, path.stock_end = scene.stock_end,
  path.scribe_from_end = mitre.scribe_from_end.centre;
  if (tool.diameter > 0) path.why_marks = why_not_mill(scene, tool);
  path.mills = tool.diameter > 0 && path.why_marks.empty();
  if (!path.mills) path.tool.diameter = 0;
  cut_round(path, scene);
  path.x_least = path.z_least = INFINITY, path.x_most = path.z_most = -INFINITY;
  for (const RotaryMove& m : path.moves) {
    path.x_least = std::min(path.x_least, m.x), path.x_most = std::max(path.x_most, m.x);
    path.z_least = std::min(path.z_least, m.z), path.z_most = std::max(path.z_most, m.z);
  }
  const bike::Member& member = *bike::find_member(assembly, mitre.member);
  for (int i = 0; i <= 200; ++i) {
    const double s = member.stock_length * i / 200;
    const Seen q = seen(scene, member.tube.centreline.point(s));
    path.swing = std::max(path.swing, q.r + member.tube.profile.max_radius());
  }
  const double s_far = mitre.end == bike::End::end ? mitre.s_most : mitre.s_least;
  for (int i = 0; i <= 20; ++i) {
    const double s = mitre.s_scribe + (s_far - mitre.s_scribe) * i / 20;
    path.run_out = std::max(path.run_out, seen(scene, member.tube.centreline.point(s)).r);
  }
  path.dry = dry_run(assembly, mitre, path);
  return path;
}

}  // namespace halfround::shop
