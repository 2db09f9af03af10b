// What a part holds: private to this room.
#pragma once

#include <TopoDS_Shape.hxx>
#include <cstdint>
#include <mutex>
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

struct Shape {
  TopoDS_Shape solid;
  mutable Mesh mesh;  ///< made when first asked for
};

[[nodiscard]] base::Result<TopoDS_Shape> member_solid(const bike::Member& member, const Ending& start,
                                                      const Ending& end);
[[nodiscard]] base::Result<TopoDS_Shape> plate_solid(const bike::Plate& plate);
/// A closed solid of the faces.
[[nodiscard]] TopoDS_Shape solid_of(const std::vector<TopoDS_Face>& faces);

/// Numbers that make a part what it is, in a row; two parts with the same row are the same.
using Numbers = std::vector<double>;
void append(Numbers& out, const shape::Tube& tube);
void append(Numbers& out, const bike::Plate& plate);

}  // namespace halfround::solid
