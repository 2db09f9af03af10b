// A tyre as a surface of OpenCASCADE, and a blade beside it; shared by the outside test and the benchmark.
#pragma once

#include "outside/opencascade/occt_tube.h"

namespace halfround::occt {

inline Tube scene_tyre() {
  return {shape::Centreline::circle(Vec3::Zero(), Vec3::UnitY(), 305.5),
          shape::Profile({{0, 54, 58, 0, nullptr}})};
}

/// Straight, 290 mm, oval and tapering evenly.
inline Tube scene_blade(const Vec3& p, const Vec3& t) {
  Tube tube;
  tube.centreline = shape::Centreline::from_runs({{290, 0, 0}}, p, t, Vec3::UnitY());
  tube.profile = shape::Profile({{0, 16, 18, 1, nullptr}, {290, 24, 30, 1, nullptr}});
  return tube;
}

/// The full turn of the ring's section about its axle: an exact surface of revolution.
inline TopoDS_Shape revolved_ring(const Tube& ring) {
  const Piece& q = ring.centreline.pieces().front();
  const Vec3 centre = q.p + q.n / q.curvature, axis = q.t.cross(q.n);
  return BRepPrimAPI_MakeRevol(section_wire(ring, 0), gp_Ax1(pnt(centre), dir(axis))).Shape();
}

}  // namespace halfround::occt
