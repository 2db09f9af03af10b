// A flat part as a solid: its outline of lines and arcs drawn through its thickness, less its bores. A bore
// that leans or is oval is cut by the library; an upright round one is part of the outline.
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <Geom_TrimmedCurve.hxx>
#include <Standard_Failure.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Elips.hxx>

#include "solid/shape.h"

namespace halfround::solid {

using base::Problem;
using base::Result;

namespace {

constexpr double kUpright = 1e-9;

/// Frame P at the lower face.
struct Sheet {
  base::Pose X;
  [[nodiscard]] gp_Pnt point(const Vec2& q) const { return pnt(X * Vec3(q.x(), q.y(), 0)); }
  [[nodiscard]] Vec3 way(const Vec3& d) const { return X.linear() * d; }
};

TopoDS_Wire outline_of(const bike::Plate& plate, const Sheet& sheet) {
  BRepBuilderAPI_MakeWire wire;
  const std::size_t n = plate.corners.size();
  for (std::size_t i = 0; i < n; ++i) {
    const bike::Corner &a = plate.corners[i], &b = plate.corners[(i + 1) % n];
    if (a.sweep == 0) {
      if ((b.at - a.at).norm() > 1e-9)
        wire.Add(BRepBuilderAPI_MakeEdge(sheet.point(a.at), sheet.point(b.at)));
      continue;
    }
    const bike::Arc arc = bike::arc_between(a.at, b.at, a.sweep);
    const Vec2 middle = arc.centre + arc.radius * base::unit_at(arc.start + a.sweep / 2);
    wire.Add(BRepBuilderAPI_MakeEdge(
        GC_MakeArcOfCircle(sheet.point(a.at), sheet.point(middle), sheet.point(b.at)).Value()));
  }
  return wire.Wire();
}

/// The body that a bore takes away, beginning outside the plate; a blind one ends square to its axis.
TopoDS_Shape bore_body(const bike::Plate& plate, const bike::Bore& bore) {
  const double along = bore.mouth ? bore.depth + 2 * bore.diameter
                                  : 2 * plate.thickness / std::abs(bore.axis.z()) + 2 * bore.diameter;
  const Vec3 x = (Vec3::UnitX() - bore.axis.x() * bore.axis).normalized(), y = bore.axis.cross(x);
  const auto in_F = [&](const Vec3& d) -> Vec3 { return plate.X_FP.linear() * d; };
  const Vec3 middle(bore.at.x(), bore.at.y(), 0);
  const Vec3 end = bore.depth > 0 ? Vec3(bike::bore_mouth(plate, bore) + bore.depth * bore.axis)
                                  : Vec3(middle + along / 2 * bore.axis);
  const Vec3 low = plate.X_FP * end - along * in_F(bore.axis);
  const double a = bore.diameter / 2, b = (bore.across > 0 ? bore.across : bore.diameter) / 2;
  const gp_Ax2 axes(pnt(low), dir(in_F(bore.axis)), dir(in_F(a >= b ? x : y)));
  const TopoDS_Edge edge =
      std::abs(a - b) < kUpright
          ? BRepBuilderAPI_MakeEdge(gp_Circ(axes, a)).Edge()
          : BRepBuilderAPI_MakeEdge(gp_Elips(axes, std::max(a, b), std::min(a, b))).Edge();
  const TopoDS_Face face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(edge).Wire());
  return BRepPrimAPI_MakePrism(face, vec(along * in_F(bore.axis)));
}

}  // namespace

Result<Made> plate_solid(const bike::Plate& plate) {
  const auto unclosed = [&] {
    return tl::unexpected(Problem{"solid-unclosed",
                                  {"", 0, 0, plate.part.name},
                                  "The plate's outline and bores make no closed body.",
                                  "Look whether a bore runs over the edge."});
  };
  try {
    const Sheet sheet{plate.X_FP * Eigen::Translation3d(0, 0, -plate.thickness / 2)};
    BRepBuilderAPI_MakeFace face(outline_of(plate, sheet), true);
    const Vec3 normal = sheet.way(Vec3::UnitZ());
    std::vector<const bike::Bore*> leaning;
    for (const bike::Bore& b : plate.bores) {
      if (std::hypot(b.axis.x(), b.axis.y()) > kUpright || b.across > 0 || b.depth > 0) {
        leaning.push_back(&b);
        continue;
      }
      const gp_Circ circle(gp_Ax2(sheet.point(b.at), dir(-normal), dir(sheet.way(Vec3::UnitX()))),
                           b.diameter / 2);
      face.Add(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle)).Wire());
    }
    TopoDS_Shape solid = BRepPrimAPI_MakePrism(face.Face(), vec(plate.thickness * normal));
    for (const bike::Bore* b : leaning) {
      BRepAlgoAPI_Cut cut(solid, bore_body(plate, *b));
      if (!cut.IsDone()) return unclosed();
      TopExp_Explorer first(cut.Shape(), TopAbs_SOLID);
      if (!first.More()) return unclosed();
      solid = first.Current();
    }
    return Made{solid, {}};
  } catch (const Standard_Failure&) {
    return unclosed();
  }
}

}  // namespace halfround::solid
