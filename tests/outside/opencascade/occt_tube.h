// The same tubes as surfaces of OpenCASCADE, and its section curve. Shared by the outside test and the
// benchmark. Frame: that of the tube.
#pragma once

#include <BRepAlgoAPI_Section.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRepOffsetAPI_MakePipeShell.hxx>
#include <BRepOffsetAPI_ThruSections.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Shape.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Elips.hxx>

#include "shape/tube.h"

namespace halfround::occt {

using base::Vec3;
using shape::Frame;
using shape::Piece;
using shape::Tube;

inline gp_Pnt pnt(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}
inline gp_Dir dir(const Vec3& d) {
  return {d.x(), d.y(), d.z()};
}

/// The ellipse (or circle) of the tube at s, starting on its mark line (on b where the depth is the greater).
inline TopoDS_Wire section_wire(const Tube& tube, double s) {
  const Frame f = tube.centreline.at(s);
  const double a = tube.profile.width(s) / 2, b = tube.profile.depth(s) / 2;
  TopoDS_Edge edge;
  if (std::abs(a - b) < 1e-12) {
    edge = BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(pnt(f.c), dir(f.t), dir(f.m)), a));
  } else if (a > b) {
    edge = BRepBuilderAPI_MakeEdge(gp_Elips(gp_Ax2(pnt(f.c), dir(f.t), dir(f.m)), a, b));
  } else {
    edge = BRepBuilderAPI_MakeEdge(gp_Elips(gp_Ax2(pnt(f.c), dir(f.t), dir(f.b)), b, a));
  }
  return BRepBuilderAPI_MakeWire(edge);
}

/// Straight, from s0 to s1, exactly ruled between the two end sections.
inline TopoDS_Shape ruled(const Tube& tube, double s0, double s1) {
  BRepOffsetAPI_ThruSections loft(false, true);
  loft.AddWire(section_wire(tube, s0));
  loft.AddWire(section_wire(tube, s1));
  loft.Build();
  return loft.Shape();
}

/// The last piece of a bent tube of constant section: an exact surface of revolution about the bend's axis.
inline TopoDS_Shape revolved(const Tube& tube) {
  const Piece& q = tube.centreline.pieces().back();
  const Vec3 centre = q.p + q.n / q.curvature, axis = q.t.cross(q.n);
  return BRepPrimAPI_MakeRevol(section_wire(tube, q.s0), gp_Ax1(pnt(centre), dir(axis)),
                               q.length * q.curvature)
      .Shape();
}

/// The last piece of a bent, tapering tube, swept between its end sections. OpenCASCADE fits this surface.
inline TopoDS_Shape swept(const Tube& tube) {
  const Piece& q = tube.centreline.pieces().back();
  const auto at = [&](double x) { return pnt(tube.centreline.point(q.s0 + x)); };
  const TopoDS_Edge spine =
      BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(at(0), at(q.length / 2), at(q.length)).Value());
  BRepOffsetAPI_MakePipeShell pipe(BRepBuilderAPI_MakeWire(spine).Wire());
  pipe.SetTolerance(1e-7, 1e-7, 1e-7);
  pipe.Add(section_wire(tube, q.s0));
  pipe.Add(section_wire(tube, q.s0 + q.length));
  pipe.Build();
  return pipe.Shape();
}

/// A round tube along its own straight centreline.
inline TopoDS_Shape cylinder(const Tube& tube) {
  const Frame f = tube.centreline.at(0);
  const gp_Cylinder body(gp_Ax3(pnt(f.c), dir(f.t), dir(f.m)), tube.profile.width(0) / 2);
  return BRepBuilderAPI_MakeFace(body, 0, 2 * base::kPi, 0, tube.length()).Shape();
}

/// Without `smooth` the curve is a polyline through the points that the intersector walked, up to 0.003 mm off here.
inline TopoDS_Shape section(const TopoDS_Shape& a, const TopoDS_Shape& b, bool smooth) {
  BRepAlgoAPI_Section op(a, b, false);
  op.Approximation(smooth);
  op.Build();
  return op.Shape();
}

inline double distance(const TopoDS_Shape& curve, const Vec3& p) {
  BRepExtrema_DistShapeShape d(BRepBuilderAPI_MakeVertex(pnt(p)).Vertex(), curve);
  return d.IsDone() ? d.Value() : INFINITY;
}

}  // namespace halfround::occt
