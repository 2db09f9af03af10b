// What a part holds: private to this room.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "solid/solid.h"
#include "solid/tube_ends.h"

namespace halfround::solid {

/// Facets of a part for viewing: corners with normals, three indices a facet.
struct Mesh {
  double chord = 0, angle = 0;         ///< what it was made for
  std::vector<float> points, normals;  ///< x, y, z of F in mm; unit
  std::vector<std::uint32_t> corners;
};

/// A loop of an end as points, for facets.
struct Border {
  std::vector<Vec3> points;
  std::vector<double> w;            ///< round the skin, 0..2 pi
  std::vector<std::size_t> starts;  ///< index of each piece's first point
};
/// What the facets of a tube are made from.
struct Net {
  std::optional<Skin> outer, inner;
  std::array<Border, 2> low, high;  ///< outer, inner
};

struct Shape {
  TopoDS_Shape solid;
  Net net;                     ///< empty for a plate
  mutable Mesh mesh;           ///< made when first asked for
  mutable bool sound = false;  ///< passed sound()
};

struct Made {
  TopoDS_Shape solid;
  Net net;
};
[[nodiscard]] base::Result<Made> member_solid(const bike::Member& member, const Ending& start,
                                              const Ending& end);
[[nodiscard]] base::Result<Made> plate_solid(const bike::Plate& plate);
/// A closed solid of the faces.
[[nodiscard]] const Mesh& mesh_of(const Shape& shape, const MeshOptions& options);
[[nodiscard]] TopoDS_Shape solid_of(const std::vector<TopoDS_Face>& faces);

/// Numbers that make a part what it is, in a row; two parts with the same row are the same.
using Numbers = std::vector<double>;
void append(Numbers& out, const shape::Tube& tube);
void append(Numbers& out, const bike::Plate& plate);

}  // namespace halfround::solid
