// Greatest and least gap of a cutter that is not the target's size: OpenCASCADE cuts the tube with the cutter
// where our set-up puts it, walks the section curve, and measures to the target with its own distance.
#include <gtest/gtest.h>

#include <BRepAdaptor_Curve.hxx>
#include <TopExp_Explorer.hxx>
#include <algorithm>

#include "outside/opencascade/occt_tube.h"
#include "shop_scene.h"
#include "parts.h"

namespace halfround::shop {
namespace {

struct Gaps {
  double least = INFINITY, most = 0;
};

/// The tube comes from +x: what lies beyond `x` is the cutter's far side, where the tube is long gone.
Gaps gaps_along(const TopoDS_Shape& curve, const TopoDS_Shape& target, double x) {
  Gaps out;
  for (TopExp_Explorer edge(curve, TopAbs_EDGE); edge.More(); edge.Next()) {
    const BRepAdaptor_Curve line(TopoDS::Edge(edge.Current()));
    constexpr int kSteps = 120;
    for (int i = 0; i <= kSteps; ++i) {
      const double t = line.FirstParameter() + (line.LastParameter() - line.FirstParameter()) * i / kSteps;
      const gp_Pnt p = line.Value(t);
      if (p.X() < x) continue;
      const double gap = occt::distance(target, Vec3(p.X(), p.Y(), p.Z()));
      out.least = std::min(out.least, gap), out.most = std::max(out.most, gap);
    }
  }
  return out;
}

void compare(const shape::MitreScene& scene, const TopoDS_Shape& member, double diameter) {
  const bike::Assembly a = one_joint(scene.member, scene.target);
  Shop shop;
  shop.cutters = {{"saw", CutterKind::hole_saw, diameter, 0}};
  const CutterFit f = set_ups(a, mitres_of(a), shop).at(0).cutters.at(0);
  ASSERT_TRUE(f.serves);
  const Vec3 low(f.axis_point.x(), f.axis_point.y(), -120);
  const shape::Tube cutter{shape::Centreline::from_runs({{240, 0, 0}}, low, Vec3::UnitZ(), Vec3::UnitX()),
                           shape::Profile::round(diameter, 1)};
  const Gaps theirs = gaps_along(occt::section(member, occt::cylinder(cutter), true),
                                 occt::cylinder(scene.target), f.axis_point.x());
  std::printf("%s, %.2f mm: ours %.4f, theirs %.4f to %.4f mm\n", scene.name, diameter, f.greatest_gap,
              theirs.least, theirs.most);
  // between our clock positions the greatest gap rises by no more than this
  EXPECT_NEAR(f.greatest_gap, theirs.most, 5e-3);
  EXPECT_LT(theirs.least, 5e-3);
}

TEST(OpenCascadeGap, ABiggerSawOnAStraightTaper) {
  const auto scene = shape::taper_scene();
  compare(scene, occt::ruled(scene.member, 0, 300), 31.75);
}

TEST(OpenCascadeGap, ASmallerSawInABentOvalTube) {
  const auto scene = shape::bent_oval_scene();
  compare(scene, occt::revolved(scene.member), 28);
}

}  // namespace
}  // namespace halfround::shop
