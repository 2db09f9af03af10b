// One tube as a closed solid: its two skins between the loops of its ends, and the faces of the ends.
#include <BRep_Builder.hxx>
#include <Geom2d_Line.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>

#include "solid/shape.h"

namespace halfround::solid {

using base::Problem;
using base::Result;

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kBeyond = 2;  // mm of skin beyond the loops
constexpr double kNoBore = 1e-6;

void put_on_skin(const Skin& skin, const Piece& p, double s) {
  if (p.kind != Piece::Kind::square) return add_curve_on(skin, p);
  BRep_Builder().UpdateEdge(p.edge, new Geom2d_Line(gp_Pnt2d(0, s), gp_Dir2d(1, 0)), skin.surface(),
                            TopLoc_Location(), kFitTol);
}

/// The skin between its two loops, slit along the mark line.
TopoDS_Face tube_face(const Skin& skin, const Loop& low, const Loop& high, bool outward) {
  BRep_Builder builder;
  TopoDS_Face face;
  TopoDS_Wire wire;
  builder.MakeFace(face, skin.surface(), kFitTol);
  builder.MakeWire(wire);
  TopoDS_Edge slit;
  builder.MakeEdge(slit, skin.surface()->UIso(0), kFitTol);
  builder.Add(slit, low.seam.Oriented(TopAbs_FORWARD));
  builder.Add(slit, high.seam.Oriented(TopAbs_REVERSED));
  builder.Range(slit, low.s_seam, high.s_seam);
  builder.UpdateEdge(slit, new Geom2d_Line(gp_Pnt2d(kTurn, 0), gp_Dir2d(0, 1)),
                     new Geom2d_Line(gp_Pnt2d(0, 0), gp_Dir2d(0, 1)), skin.surface(), TopLoc_Location(),
                     kFitTol);
  for (const Piece& p : low.pieces) {
    put_on_skin(skin, p, low.s_seam);
    builder.Add(wire, p.edge.Oriented(TopAbs_FORWARD));
  }
  builder.Add(wire, slit.Oriented(TopAbs_FORWARD));
  for (auto p = high.pieces.rbegin(); p != high.pieces.rend(); ++p) {
    put_on_skin(skin, *p, high.s_seam);
    builder.Add(wire, p->edge.Oriented(TopAbs_REVERSED));
  }
  builder.Add(wire, slit.Oriented(TopAbs_REVERSED));
  wire.Closed(true);
  builder.Add(face, wire);
  if (!outward) face.Reverse();
  return face;
}

Border border_of(const Skin& skin, const Loop& loop) {
  Border out;
  for (const Piece& p : loop.pieces) {
    out.starts.push_back(out.points.size());
    const std::vector<Vec2> at = places(skin, p.strand);
    for (std::size_t i = 0; i + 1 < at.size(); ++i) {  // the last one begins the next piece
      out.points.push_back(p.strand.points[i]);
      out.w.push_back(at[i].x());
    }
  }
  return out;
}

/// How far along the member an ending reaches.
std::pair<double, double> reach_of(const bike::Member& member, const Ending& e) {
  const double s = e.end == bike::End::end ? member.s_end : member.s_start;
  if (e.mitre) return {e.mitre->s_least, e.mitre->s_most};
  if (!e.slot) return {s, s};
  const shape::Frame f = member.tube.centreline.at(s);
  double depth = 0;
  for (const Vec3& v : e.slot->outline) depth = std::max(depth, std::abs((v - f.c).dot(f.t)));
  return {s - depth, s + depth};
}

}  // namespace

TopoDS_Shape solid_of(const std::vector<TopoDS_Face>& faces) {
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  for (const TopoDS_Face& f : faces) builder.Add(shell, f);
  shell.Closed(true);
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

Result<Made> member_solid(const bike::Member& member, const Ending& start, const Ending& end) {
  if (!member.tube.profile.convex()) {
    return tl::unexpected(Problem{"solid-outline",
                                  {"", 0, 0, member.part.name},
                                  "Its outline was traced, and solids are made of round and oval tubes only.",
                                  "Give width and depth instead, or leave solids out."});
  }
  for (const shape::Station& q : member.tube.profile.stations()) {
    if (q.wall > 0) continue;
    return tl::unexpected(Problem{"solid-wall",
                                  {"", 0, 0, member.part.name},
                                  "Its wall is not known, so no solid can be made of it.",
                                  "Give the wall at every station."});
  }
  const auto a = reach_of(member, start), b = reach_of(member, end);
  const double from = std::min(a.first, b.first) - kBeyond, to = std::max(a.second, b.second) + kBeyond;
  Wall wall;
  wall.member = &member;
  wall.outer.emplace(member.tube, from, to);
  const shape::Tube bore = member.tube.inner();
  if (bore.profile.max_radius() > kNoBore) wall.inner.emplace(bore, from, to);
  const auto low = end_of(wall, start), high = end_of(wall, end);
  for (const auto* made : {&low, &high}) {
    if (*made) continue;
    Problem p = made->error();
    p.where.key = member.part.name;
    return tl::unexpected(std::move(p));
  }
  std::vector<TopoDS_Face> faces{tube_face(*wall.outer, low->outer, high->outer, true)};
  if (wall.inner) faces.push_back(tube_face(*wall.inner, low->inner, high->inner, false));
  for (const Ended* e : {&*low, &*high}) faces.insert(faces.end(), e->cap.begin(), e->cap.end());
  Made out{solid_of(faces), {}};
  out.net.outer = wall.outer, out.net.inner = wall.inner;
  for (const bool inside : {false, true}) {
    if (inside && !wall.inner) break;
    const Skin& skin = inside ? *wall.inner : *wall.outer;
    out.net.low[inside] = border_of(skin, inside ? low->inner : low->outer);
    out.net.high[inside] = border_of(skin, inside ? high->inner : high->outer);
  }
  return out;
}

}  // namespace halfround::solid
