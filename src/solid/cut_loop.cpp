// A wall's edge at a mitred end as pieces of curve: from the points of the mitre study, split where it jumps,
// where it begins or ends to pass by, and where the line crosses itself. Frame: the assembly's.
// docs/solids.md.
#include <algorithm>
#include <cmath>

#include "solid/crossing.h"
#include "solid/fine_strand.h"
#include "solid/tube_ends.h"

namespace halfround::solid {

namespace {

using base::Problem;
using base::Result;
using Kind = Piece::Kind;

constexpr double kTurn = 2 * base::kPi;
constexpr double kCloser = 0.02;      // mm; points of a cut nearer than this to the last are left out
constexpr double kFinest = 2e-3;      // mm; the same where the line turns sharply
constexpr double kLongest = 0.6;      // mm from one of its points to the next
constexpr double kTurnAtMost = 0.05;  // rad an edge turns from one of its points to the next: 1e-6 mm off
constexpr double kAlongside = 1e-5;   // sine below which a line's direction is not told by the two normals
constexpr double kAtCrossing = 0.05;  // mm round the tube; points nearer than this are the crossing itself
constexpr double kOnSeam = 1e-4;      // mm; a crossing as near as this to the mark line lies on it
constexpr double kNoJump = 1e-6;      // mm; ends as near as this are one

/// A point of the edge.
struct Spot {
  study::EdgePoint at;
  const Crossing* crossing = nullptr;  ///< the line crosses itself here
};

double turn_apart(double u, double v) {
  return std::abs(u - v - kTurn * std::round((u - v) / kTurn));
}

/// The points of the edge from the mark line round to it again; those at a crossing become one.
std::vector<Spot> spots_of(const shape::Tube& tube, const std::vector<study::EdgePoint>& edge,
                           const std::vector<Crossing>& known) {
  const auto crossing_at = [&](const study::EdgePoint& q) -> const Crossing* {
    const auto at = std::find_if(known.begin(), known.end(), [&](const Crossing& c) {
      return turn_apart(q.u, c.u) * tube.profile.half_axes(c.s).a < kAtCrossing;
    });
    return at == known.end() ? nullptr : &*at;
  };
  Spot seam{edge.front(), crossing_at(edge.front())};
  if (seam.crossing && (seam.crossing->point - seam.at.point).norm() > kOnSeam) seam.crossing = nullptr;
  if (seam.crossing) seam.at.met = true;
  std::vector<Spot> out{seam};
  for (std::size_t i = 1; i < edge.size(); ++i) {
    const Crossing* c = crossing_at(edge[i]);
    if (c == nullptr) {
      out.push_back({edge[i], nullptr});
    } else if (c != seam.crossing && c != out.back().crossing) {
      out.push_back({{c->u < 0 ? c->u + kTurn : c->u, c->point, c->s, 0, true}, c});
    }
  }
  seam.at.u = kTurn;
  out.push_back(seam);
  return out;
}

/// The line's unit direction at a spot of a run, zero where it can't be told.
Vec3 direction_at(const Meeting& m, const std::vector<Spot>& run, std::size_t i) {
  const std::size_t n = run.size();
  const study::EdgePoint& q = run[i].at;
  if (run[i].crossing && q.met) {
    if (i == 0) return run[i].crossing->toward(run[1].at.point);
    if (i + 1 == n) return -run[i].crossing->toward(run[i - 1].at.point);
  }
  const shape::SurfacePoint at = shape::surface(m.skin.tube(), base::unit_at(q.u), q.s);
  const Vec3 other = m.onto ? Vec3(shape::level(m.onto->tube(), q.point).gradient) : m.plane_normal;
  const Vec3 t = at.normal().cross(other.normalized());
  const Vec3 way = run[std::min(i + 1, n - 1)].at.point - run[i > 0 ? i - 1 : 0].at.point;
  return t.norm() < kAlongside ? Vec3::Zero() : Vec3(t.normalized() * (t.dot(way) < 0 ? -1.0 : 1.0));
}

/// A stretch of an edge whose points are all met, or all stopped at the plane.
Strand strand_along(const Meeting& m, const std::vector<Spot>& run) {
  std::vector<Vec3> points, tangents;
  const std::size_t n = run.size();
  const auto tangent = [&](std::size_t i) { return direction_at(m, run, i); };
  const auto keep = [&](std::size_t i) { points.push_back(run[i].at.point), tangents.push_back(tangent(i)); };
  keep(0);
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const double after = (run[i].at.point - points.back()).norm(),
                 before = (run[i].at.point - run[n - 1].at.point).norm();
    const double quarters = run[i].at.u / (base::kPi / 2);  // there the skin's own curves are pieced together
    const bool must = std::abs(quarters - std::round(quarters)) < 1e-9;
    const Vec3 next = tangent(i + 1);
    const bool turns = next.cross(tangents.back()).norm() > kTurnAtMost || tangents.back().isZero();
    const double closer = turns ? kFinest : kCloser;
    if ((must || turns || next.isZero() || after > kLongest) && after > closer && before > closer) keep(i);
  }
  keep(n - 1);
  return fine_strand(m, strand_of(std::move(points), std::move(tangents)));
}

/// Along one generator, from s0 to s1.
Strand generator(const shape::Tube& tube, double u, double s0, double s1) {
  const auto a = shape::surface(tube, base::unit_at(u), s0), b = shape::surface(tube, base::unit_at(u), s1);
  const double sign = s1 < s0 ? -1 : 1;
  return strand_of({a.p, b.p}, {Vec3(sign * a.ps.normalized()), Vec3(sign * b.ps.normalized())});
}

}  // namespace

Result<Loop> cut_loop(const Skin& skin, const Skin& onto, const study::Mitre& mitre,
                      const std::vector<study::EdgePoint>& edge) {
  const shape::Tube &tube = skin.tube(), &target = onto.tube();
  const std::vector<Crossing> known = crossings(tube, target, edge);
  const std::vector<Spot> spots = spots_of(tube, edge, known);
  Loop out;
  out.seam = vertex(spots.front().at.point);
  out.s_seam = spots.front().at.s;
  TopoDS_Vertex from = out.seam;
  std::vector<Spot> run{spots.front()};
  const auto finish = [&](const TopoDS_Vertex& to) {
    const bool met = run.front().at.met;
    Piece p = piece_of(met ? Kind::met : Kind::passing,
                       strand_along({skin, met ? &onto : nullptr, mitre.stop_point, mitre.stop_normal}, run),
                       from, to);
    p.u0 = run.front().at.u, p.u1 = run.back().at.u;
    p.crosses = run.front().crossing != nullptr;
    out.pieces.push_back(std::move(p));
    from = to;
  };
  for (std::size_t i = 1; i < spots.size(); ++i) {
    const study::EdgePoint &a = spots[i - 1].at, &b = spots[i].at;
    if (a.met != b.met) {
      if (std::abs(a.u - b.u) > 1e-9) {
        return tl::unexpected(
            Problem{"solid-unclosed",
                    {},
                    "The tube begins to pass by where it touches the other one along its side.",
                    "Change its diameter or its place by 0.1 mm, or leave solids out."});
      }
      if (run.size() > 1) finish(vertex(a.point));
      if ((b.point - a.point).norm() > kNoJump) {
        const TopoDS_Vertex beside = vertex(b.point);
        Piece p = piece_of(Kind::jump, generator(tube, a.u, a.s, b.s), from, beside);
        p.u0 = p.u1 = a.u;
        out.pieces.push_back(std::move(p));
        from = beside;
      }
      run.clear();
    }
    run.push_back(spots[i]);
    if (!spots[i].crossing || i + 1 == spots.size()) continue;
    finish(vertex(b.point));
    run = {spots[i]};
  }
  finish(out.seam);
  return out;
}

}  // namespace halfround::solid
