// Our cuts against the section curves of OpenCASCADE: same surfaces, its own intersector.
#include <gtest/gtest.h>

#include "mitre_scene.h"
#include "outside/opencascade/occt_tube.h"
#include "parts.h"

namespace halfround::shape {
namespace {

/// What OpenCASCADE promises here, mm: its section tolerance is 1e-7, but the curves are fitted, 1e-5 and
/// more off.
constexpr double kAgree = 1e-4;

/// Our points, every third one, against the section; skips what stopped at the plane, which is no section.
double worst_distance(const MitreScene& scene, const TopoDS_Shape& member) {
  const TopoDS_Shape curve = occt::section(member, occt::cylinder(scene.target), true);
  const auto found = cut(scene.member, scene.target, scene.search);
  EXPECT_TRUE(found);
  double worst = 0;
  for (std::size_t i = 0; found && i < found->points.size(); i += 3) {
    const CutPoint& q = found->points[i];
    if (q.met) worst = std::max(worst, occt::distance(curve, q.p));
  }
  std::printf("%s: %.2g mm\n", scene.name, worst);
  testing::Test::RecordProperty(scene.name, std::to_string(worst));
  return worst;
}

TEST(OpenCascade, StraightTubesAgree) {
  for (const MitreScene& outer : {round_scene(), taper_scene(), partial_scene(), wide_scene()}) {
    for (const bool inside : {false, true}) {
      MitreScene scene = outer;
      if (inside) scene.member = scene.member.inner();
      EXPECT_LT(worst_distance(scene, occt::ruled(scene.member, 0, 340)), kAgree) << scene.name << inside;
    }
  }
}

TEST(OpenCascade, BentOvalTubesAgree) {
  for (const MitreScene& outer : {bent_oval_scene(), bent_partial_scene()}) {
    for (const bool inside : {false, true}) {
      MitreScene scene = outer;
      if (inside) scene.member = scene.member.inner();
      EXPECT_LT(worst_distance(scene, occt::revolved(scene.member)), kAgree) << scene.name << inside;
    }
  }
}

/// The swept tapering tube is fitted by OpenCASCADE, so its surface itself is off ours by a few micrometres;
/// the section can agree no better than the surfaces do.
TEST(OpenCascade, BentTaperingTubesAgreeAsWellAsTheSurfacesDo) {
  const MitreScene scene = bent_taper_scene();
  const TopoDS_Shape theirs = occt::swept(scene.member);
  const auto found = cut(scene.member, scene.target, scene.search);
  ASSERT_TRUE(found);
  double surface_off = 0;
  for (std::size_t i = 0; i < found->points.size(); i += 3) {
    surface_off = std::max(surface_off, occt::distance(theirs, found->points[i].p));
  }
  std::printf("their surface is off by %.2g mm\n", surface_off);
  EXPECT_LT(surface_off, 0.005);
  EXPECT_LT(worst_distance(scene, theirs), kAgree + 1.5 * surface_off);
}

}  // namespace
}  // namespace halfround::shape
