// Sections of many rings. Who else says so: OpenCASCADE's ruled lofts from ring to ring, their volume and
// their section curves; the closed form of a frustum between similar ellipses. Ours: the tube that runs
// straight from ring to ring.
#include <gtest/gtest.h>

#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>

#include "mitre_scene.h"
#include "outside/opencascade/occt_tube.h"
#include "parts.h"
#include "study/mass.h"

namespace halfround::shape {
namespace {

using base::kPi;

/// Six rings: a taper, a swelling oval, a straight part, a neck. Invented sizes.
Profile rings() {
  return Profile({{0, 14, 14, 1.4},
                  {60, 18, 17, 1.2},
                  {140, 22, 27, 1.0},
                  {230, 24, 30, 1.0},
                  {286, 24, 30, 0.9},
                  {297, 27, 26, 1.1},
                  {340, 28, 24, 1.1}});
}

double volume_of_loft(const Tube& tube, double s0, double s1) {
  BRepOffsetAPI_ThruSections loft(true, true);
  loft.AddWire(occt::section_wire(tube, s0)), loft.AddWire(occt::section_wire(tube, s1));
  loft.Build();
  GProp_GProps q;
  BRepGProp::VolumeProperties(loft.Shape(), q, 1e-10);
  return std::abs(q.Mass());
}

/// Between two ellipses whose half axes go straight [source: prismoidal formula, exact here].
double frustum(const Station& p, const Station& q, double less) {
  const double a0 = p.width / 2 - less * p.wall, b0 = p.depth / 2 - less * p.wall;
  const double a1 = q.width / 2 - less * q.wall, b1 = q.depth / 2 - less * q.wall;
  return kPi * (q.s - p.s) / 6 * (2 * a0 * b0 + a0 * b1 + a1 * b0 + 2 * a1 * b1);
}

TEST(OpenCascadeRings, TheWallOfATubeOfManyRingsHasTheVolumeOfTheLofts) {
  const Profile profile = rings();
  const Tube tube{Centreline::from_runs({{340, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX()), profile};
  const Tube bore = tube.inner();
  double closed = 0, lofts = 0;
  const auto& q = profile.stations();
  for (std::size_t i = 0; i + 1 < q.size(); ++i) {
    closed += frustum(q[i], q[i + 1], 0) - frustum(q[i], q[i + 1], 1);
    lofts += volume_of_loft(tube, q[i].s, q[i + 1].s) - volume_of_loft(bore, q[i].s, q[i + 1].s);
  }
  bike::Assembly a;
  bike::Member m;
  m.part = "tube"_part, m.tube = tube, m.s_end = m.stock_length = 340;
  a.members = {m};
  const double ours = study::mass(a, {}).parts[0].volume;
  std::printf("ours %.6f, frustums %.6f, lofts %.6f mm3\n", ours, closed, lofts);
  EXPECT_NEAR(ours / closed, 1, 1e-9);
  EXPECT_NEAR(ours / lofts, 1, 1e-6);
}

/// The cut crosses two rings: on either side of a ring it lies on that side's loft.
TEST(OpenCascadeRings, ACutAcrossRingsLiesOnTheSectionsOfTheLofts) {
  for (const double angle : {78.0, 55.0}) {
    for (const bool inside : {false, true}) {
      MitreScene scene = straight_scene("many rings", rings(), angle, 2, true);
      if (inside) scene.member = scene.member.inner();
      const TopoDS_Shape target = occt::cylinder(scene.target);
      const auto found = cut(scene.member, scene.target, scene.search);
      ASSERT_TRUE(found);
      std::vector<TopoDS_Shape> curves;
      std::vector<std::pair<double, double>> spans;
      for (const auto& [s0, s1] :
           std::vector<std::pair<double, double>>{{230, 286}, {286, 297}, {297, 340}}) {
        spans.emplace_back(s0, s1);
        curves.push_back(occt::section(occt::ruled(scene.member, s0, s1), target, true));
      }
      double worst = 0;
      int spans_met = 0;
      for (std::size_t k = 0; k < spans.size(); ++k) {
        int here = 0;
        for (std::size_t i = 0; i < found->points.size(); i += 2) {
          const CutPoint& q = found->points[i];
          if (!q.met || q.s < spans[k].first + 0.01 || q.s > spans[k].second - 0.01) continue;
          worst = std::max(worst, occt::distance(curves[k], q.p)), ++here;
        }
        spans_met += here > 3;
      }
      std::printf("%g deg, %s: %.2g mm over %d spans\n", angle, inside ? "bore" : "outside", worst,
                  spans_met);
      EXPECT_LT(worst, 1e-4);
      EXPECT_GE(spans_met, 2) << "the cut crosses a ring";
    }
  }
}

}  // namespace
}  // namespace halfround::shape
