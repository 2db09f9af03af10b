// Edges of a solid from points that are known exactly: private to this room. Frame: the assembly's.
// A strand is a smooth curve given by points and unit tangents; between them it is the cubic that takes both
// (error falls with the fourth power of the step). On each face it lies in, the same points and tangents give
// the curve in that face's parameters, so that both run alike.
#pragma once

#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Vertex.hxx>
#include <functional>
#include <vector>

#include "solid/solid.h"
#include "solid/surfaces.h"

namespace halfround::solid {

struct Strand {
  std::vector<Vec3> points;
  std::vector<Vec3> tangents;  ///< unit, along the way of the points
  std::vector<double> at;      ///< parameter: the arc's length so far, mm
};

/// Works out the parameters; tangents that are missing (zero) are taken from the neighbours.
[[nodiscard]] Strand strand_of(std::vector<Vec3> points, std::vector<Vec3> tangents);
/// The straight line.
[[nodiscard]] Strand line(const Vec3& a, const Vec3& b);

/// An edge of the solid with the points it was made from.
struct Piece {
  enum class Kind { met, passing, jump, square } kind = Kind::met;
  Strand strand;
  TopoDS_Vertex a, b;
  TopoDS_Edge edge;
  double u0 = 0, u1 = 0;  ///< clock angles of its ends, where it is part of a cut
  bool crosses = false;   ///< it begins where the cut's line crosses itself
};
[[nodiscard]] Piece piece_of(Piece::Kind kind, Strand strand, const TopoDS_Vertex& a, const TopoDS_Vertex& b);
using Chain = std::vector<Piece>;

[[nodiscard]] TopoDS_Vertex vertex(const Vec3& p);

/// A piece as one face's boundary walks it.
struct Step {
  const Piece* piece = nullptr;
  bool forward = true;
};
using Walk = std::vector<Step>;
[[nodiscard]] Walk walk_of(const Chain& chain, bool forward = true);

/// The face of a skin inside the walks (the first is the outer boundary). Curves on the skin are added to the
/// edges.
///   in  outward  true where the solid lies behind the skin's own outward normal
[[nodiscard]] TopoDS_Face face_on_skin(const Skin& skin, const std::vector<Walk>& walks, bool outward);
/// The flat face inside the walks; `normal` points out of the solid.
[[nodiscard]] TopoDS_Face flat_face(const Vec3& point, const Vec3& normal, const std::vector<Walk>& walks);

/// Adds the piece's curve on a skin to its edge.
void add_curve_on(const Skin& skin, const Piece& piece);

/// The strand in the parameters of a skin, w carried on without a jump.
[[nodiscard]] std::vector<Vec2> places(const Skin& skin, const Strand& strand);
/// A curve through places, sharing the strand's parameter.
[[nodiscard]] Handle(Geom2d_Curve)
    curve_on(const Handle(Geom_Surface) & surface, const Strand& strand, const std::vector<Vec2>& places);

}  // namespace halfround::solid
