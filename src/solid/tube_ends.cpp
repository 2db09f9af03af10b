#include "solid/tube_ends.h"

#include <BRep_Builder.hxx>
#include <cmath>

namespace halfround::solid {

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr int kAround = 96;  // points of a ring, for telling which way it runs

}  // namespace

Loop square_loop(const Skin& skin, double s) {
  std::vector<Vec3> points;
  for (int i = 0; i <= kAround; ++i)
    points.push_back(shape::surface(skin.tube(), base::unit_at(kTurn * (i % kAround) / kAround), s).p);
  Piece p;
  p.kind = Piece::Kind::square;
  p.strand.points = std::move(points);
  p.a = p.b = vertex(p.strand.points.front());
  p.u1 = kTurn;
  BRep_Builder builder;
  builder.MakeEdge(p.edge, skin.surface()->VIso(s), kFitTol);
  builder.Add(p.edge, p.a.Oriented(TopAbs_FORWARD));
  builder.Add(p.edge, p.b.Oriented(TopAbs_REVERSED));
  builder.Range(p.edge, 0, kTurn);
  Loop out;
  out.seam = p.a, out.s_seam = s;
  out.pieces.push_back(std::move(p));
  return out;
}

base::Result<Ended> end_of(const Wall& wall, const Ending& ending) {
  if (ending.mitre) return mitred_end(wall, ending);
  if (ending.slot) return slotted_end(wall, ending);
  const bool at_end = ending.end == bike::End::end;
  const double s = at_end ? wall.member->s_end : wall.member->s_start;
  Ended out;
  out.outer = square_loop(*wall.outer, s);
  std::vector<Walk> walks{walk_of(out.outer.pieces)};
  if (wall.inner) {
    out.inner = square_loop(*wall.inner, s);
    walks.push_back(walk_of(out.inner.pieces));
  }
  const shape::Frame f = wall.member->tube.centreline.at(s);
  out.cap.push_back(flat_face(f.c, at_end ? f.t : Vec3(-f.t), walks));
  return out;
}

}  // namespace halfround::solid
