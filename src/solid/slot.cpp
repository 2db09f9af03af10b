// The end of a tube slotted over a flat part: two gaps with straight sides and a straight bottom. Frame: the
// assembly's. The gap is as wide as the plate is thick and as deep as the plate reaches into the tube.
#include <algorithm>
#include <array>
#include <cmath>

#include "solid/tube_ends.h"

namespace halfround::solid {

namespace {

using Kind = Piece::Kind;
constexpr double kTurn = 2 * base::kPi;
constexpr int kAlong = 12;       // stretches of a slot's side
constexpr double kRound = 0.06;  // rad from point to point round the tube

struct Plane {
  Vec3 point, normal;
};

/// The slot as planes: its two sides and its bottom; `out` points out of the tube's end.
struct Slot {
  std::array<Plane, 2> sides;  ///< normals point away from the plate's middle: [0] along +n, [1] along -n
  Plane end, bottom;           ///< normals point out of the tube's end
};

/// Clock angle near u where the skin at s cuts the plane.
double angle_on(const shape::Tube& tube, const Plane& plane, double s, double u) {
  for (int i = 0; i < 40; ++i) {
    const shape::SurfacePoint q = shape::surface(tube, base::unit_at(u), s);
    const double step = -(q.p - plane.point).dot(plane.normal) / q.pu.dot(plane.normal);
    u += std::clamp(step, -0.3, 0.3);
    if (std::abs(step) < 1e-14) break;
  }
  return u;
}

/// Along the generator at u to the plane.
double reach_to(const shape::Tube& tube, const Plane& plane, double u, double s) {
  for (int i = 0; i < 40; ++i) {
    const shape::SurfacePoint q = shape::surface(tube, base::unit_at(u), s);
    const double step = -(q.p - plane.point).dot(plane.normal) / q.ps.dot(plane.normal);
    s += step;
    if (std::abs(step) < 1e-12) break;
  }
  return s;
}

struct Spot {
  double u = 0, s = 0;
};

/// Where two planes and the skin come together.
Spot corner_of(const shape::Tube& tube, const Plane& side, const Plane& across, double u, double s) {
  for (int i = 0; i < 40; ++i) {
    const double u_new = angle_on(tube, side, s, u), s_new = reach_to(tube, across, u_new, s);
    const bool still = std::abs(u_new - u) < 1e-14 && std::abs(s_new - s) < 1e-12;
    u = u_new, s = s_new;
    if (still) break;
  }
  return {u, s};
}

/// Values from a to b, n steps; quarter turns are among them, for there the skin's own curves are pieced
/// together.
std::vector<double> steps(double a, double b, int n, bool quarters) {
  std::vector<double> out;
  for (int i = 0; i <= n; ++i) out.push_back(i == n ? b : a + (b - a) * i / n);
  for (int q = 1; q < 4 && quarters; ++q) {
    const double turn = q * base::kPi / 2;
    if (turn > a && turn < b) out.push_back(turn);
  }
  std::sort(out.begin(), out.end());
  if (b < a) std::reverse(out.begin(), out.end());
  const auto same = [](double x, double y) { return std::abs(x - y) < 1e-6; };
  out.erase(std::unique(out.begin(), out.end(), same), out.end());
  out.front() = a, out.back() = b;
  return out;
}

/// The curve of the skin in a plane from one spot to another: round the tube, or along it.
Strand in_plane(const shape::Tube& tube, const Plane& plane, const Spot& a, const Spot& b, bool round) {
  const int n = round ? std::max(8, static_cast<int>(std::abs(b.u - a.u) / kRound)) : kAlong;
  const std::vector<double> at = round ? steps(a.u, b.u, n, true) : steps(a.s, b.s, n, false);
  std::vector<Vec3> points, tangents, normals;
  Spot q = a;
  for (std::size_t i = 0; i < at.size(); ++i) {
    if (i + 1 == at.size()) {
      q = b;
    } else if (round) {
      q.u = at[i], q.s = reach_to(tube, plane, q.u, q.s);
    } else {
      q.s = at[i], q.u = angle_on(tube, plane, q.s, q.u);
    }
    const shape::SurfacePoint p = shape::surface(tube, base::unit_at(q.u), q.s);
    points.push_back(p.p), normals.push_back(p.normal());
  }
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec3 way = points[std::min(i + 1, points.size() - 1)] - points[i > 0 ? i - 1 : 0];
    const Vec3 t = normals[i].cross(plane.normal).normalized();
    tangents.push_back(t.dot(way) < 0 ? Vec3(-t) : t);
  }
  return strand_of(std::move(points), std::move(tangents));
}

/// Corners of the two gaps in rising clock angle from the mark line: at the end and at the bottom.
struct Gap {
  std::array<Spot, 2> end, bottom;
  std::array<std::size_t, 2> side{};  ///< which side plane the gap begins and ends with
};

std::array<Gap, 2> gaps_of(const shape::Tube& tube, const Slot& slot, double s_end, double s_bottom) {
  // the plate's plane leaves the ring at two places; to either side of each lies one side of the slot
  const shape::Frame f = tube.centreline.at(s_end);
  const Vec3& n = slot.sides[0].normal;
  const double first = std::atan2(-n.dot(f.m), n.dot(f.b));  // in the plate's plane
  std::array<Gap, 2> out;
  for (std::size_t i = 0; i < 2; ++i) {
    double middle = first + base::kPi * static_cast<double>(i);
    middle -= kTurn * std::floor(middle / kTurn);
    for (std::size_t k = 0; k < 2; ++k) {
      // with rising angle the gap begins at the side its normal came from
      const Vec2 e = base::unit_at(middle);
      const Vec3 rising = e.x() * f.b - e.y() * f.m;
      const std::size_t side = (rising.dot(n) > 0) == (k == 1) ? 0 : 1;
      out[i].side[k] = side;
      out[i].end[k] = corner_of(tube, slot.sides[side], slot.end, middle, s_end);
      out[i].bottom[k] = corner_of(tube, slot.sides[side], slot.bottom, middle, s_bottom);
    }
  }
  if (out[0].end[0].u > out[1].end[0].u) std::swap(out[0], out[1]);
  return out;
}

/// Pieces: [0] from the mark line to gap 0, [1..3] gap 0 (down, bottom, up), [4] to gap 1, [5..7], [8] home.
Loop slotted_loop(const shape::Tube& tube, const Slot& slot, const std::array<Gap, 2>& gaps, double s_end) {
  Loop out;
  const Spot home{0, reach_to(tube, slot.end, 0, s_end)};
  out.s_seam = home.s;
  const auto point = [&](const Spot& q) { return shape::surface(tube, base::unit_at(q.u), q.s).p; };
  out.seam = vertex(point(home));
  TopoDS_Vertex from = out.seam;
  Spot at = home;
  const auto go = [&](const Plane& plane, const Spot& to, bool round, const TopoDS_Vertex& v) {
    Piece p = piece_of(Kind::passing, in_plane(tube, plane, at, to, round), from, v);
    p.u0 = at.u, p.u1 = to.u;
    out.pieces.push_back(std::move(p));
    at = to, from = v;
  };
  for (const Gap& g : gaps) {
    go(slot.end, g.end[0], true, vertex(point(g.end[0])));
    go(slot.sides[g.side[0]], g.bottom[0], false, vertex(point(g.bottom[0])));
    go(slot.bottom, g.bottom[1], true, vertex(point(g.bottom[1])));
    go(slot.sides[g.side[1]], g.end[1], false, vertex(point(g.end[1])));
  }
  go(slot.end, {kTurn, home.s}, true, out.seam);
  return out;
}

}  // namespace

base::Result<Ended> slotted_end(const Wall& wall, const Ending& ending) {
  const bike::Member& member = *wall.member;
  const bike::Plate& plate = *ending.slot;
  const bool at_end = ending.end == bike::End::end;
  const double s = at_end ? member.s_end : member.s_start;
  const shape::Frame f = member.tube.centreline.at(s);
  const Vec3 out_of = at_end ? f.t : Vec3(-f.t);
  double depth = 0;
  for (const Vec3& v : plate.outline) depth = std::max(depth, -(v - f.c).dot(out_of));
  const Vec3 middle = plate.X_FP.translation(), t = plate.thickness / 2 * plate.normal;
  const Slot slot{{Plane{middle + t, plate.normal}, Plane{middle - t, -plate.normal}},
                  {f.c, out_of},
                  {f.c - depth * out_of, out_of}};
  const double s_bottom = at_end ? s - depth : s + depth;
  const std::array<Gap, 2> outer = gaps_of(member.tube, slot, s, s_bottom);
  const std::array<Gap, 2> inner = gaps_of(wall.inner->tube(), slot, s, s_bottom);
  Ended out;
  out.outer = slotted_loop(member.tube, slot, outer, s);
  out.inner = slotted_loop(wall.inner->tube(), slot, inner, s);
  // straight lines through the wall at each corner: gap, begin or end of it, end or bottom
  std::array<std::array<std::array<Piece, 2>, 2>, 2> through;
  for (std::size_t g = 0; g < 2; ++g) {
    const std::size_t k = 1 + 4 * g;  // first piece of the gap
    const Chain &o = out.outer.pieces, &i = out.inner.pieces;
    const auto across = [&](const TopoDS_Vertex& a, const TopoDS_Vertex& b, const Vec3& p, const Vec3& q) {
      return piece_of(Kind::passing, line(p, q), a, b);
    };
    through[g][0][0] = across(o[k].a, i[k].a, o[k].strand.points.front(), i[k].strand.points.front());
    through[g][0][1] = across(o[k].b, i[k].b, o[k].strand.points.back(), i[k].strand.points.back());
    through[g][1][1] =
        across(o[k + 2].a, i[k + 2].a, o[k + 2].strand.points.front(), i[k + 2].strand.points.front());
    through[g][1][0] =
        across(o[k + 2].b, i[k + 2].b, o[k + 2].strand.points.back(), i[k + 2].strand.points.back());
  }
  const Chain &o = out.outer.pieces, &i = out.inner.pieces;
  const auto face = [&](const Plane& plane, const Vec3& normal, const Walk& walk) {
    out.cap.push_back(flat_face(plane.point, normal, {walk}));
  };
  for (std::size_t g = 0; g < 2; ++g) {
    const std::size_t k = 1 + 4 * g;
    const auto& [begin, end] = through[g];
    // sides look into the gap, toward the plate
    face(slot.sides[outer[g].side[0]], -slot.sides[outer[g].side[0]].normal,
         {{&o[k], true}, {&begin[1], true}, {&i[k], false}, {&begin[0], false}});
    face(slot.bottom, out_of, {{&o[k + 1], true}, {&end[1], true}, {&i[k + 1], false}, {&begin[1], false}});
    face(slot.sides[outer[g].side[1]], -slot.sides[outer[g].side[1]].normal,
         {{&o[k + 2], true}, {&end[0], true}, {&i[k + 2], false}, {&end[1], false}});
  }
  face(slot.end, out_of,
       {{&o[4], true}, {&through[1][0][0], true}, {&i[4], false}, {&through[0][1][0], false}});
  face(slot.end, out_of,
       {{&o[8], true},
        {&o[0], true},
        {&through[0][0][0], true},
        {&i[0], false},
        {&i[8], false},
        {&through[1][1][0], false}});
  return out;
}

}  // namespace halfround::solid
