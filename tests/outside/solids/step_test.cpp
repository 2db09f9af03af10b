// Who else says so: OpenCASCADE's STEP reader and its own volume, check and section of what it read, for
// every example. Ours: the mass study's volumes, the places of the assembly.
#include <gtest/gtest.h>

#include <BRepCheck_Analyzer.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <Poly_Triangulation.hxx>
#include <STEPControl_Reader.hxx>
#include <TopExp_Explorer.hxx>
#include <TopLoc_Location.hxx>
#include <TopoDS.hxx>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "job/read.h"
#include "outside/solids/volume.h"
#include "parts.h"
#include "solid/solid.h"
#include "solve/solve.h"

namespace halfround::solid {
namespace {

namespace fs = std::filesystem;

/// A job of examples/ solved without the slow studies; nothing where it can't be read in this state.
std::optional<solve::Answer> solved(const fs::path& path) {
  std::ifstream in(path);
  std::stringstream text;
  text << in.rdbuf();
  auto read = job::read_job(text.str(), path.string());
  if (!read) return std::nullopt;
  auto answer = solve::solve(*read, {.tolerance = false, .changes = false});
  if (!answer) return std::nullopt;
  return std::move(*answer);
}

std::vector<fs::path> examples() {
  std::vector<fs::path> out;
  for (const auto& e : fs::directory_iterator(fs::path(SOURCE_DIR) / "examples")) {
    if (fs::exists(e.path() / "fork.toml")) out.push_back(e.path() / "fork.toml");
  }
  std::sort(out.begin(), out.end());
  return out;
}

bool slotted(const bike::Assembly& a, const bike::Part& member) {
  return std::any_of(a.joints.begin(), a.joints.end(), [&](const bike::Joint& j) {
    return j.member == member && j.kind == bike::JointKind::slotted;
  });
}

struct Extent {
  Vec3 low = Vec3::Constant(1e9), high = Vec3::Constant(-1e9);
  void take(const Vec3& p) { low = low.cwiseMin(p), high = high.cwiseMax(p); }
};

/// Of a part, from the assembly and the mitres alone: the outer surface between its cuts, or a plate's two
/// faces.
Extent extent_of(const bike::Assembly& a, const std::vector<study::Mitre>& mitres, const bike::Part& name) {
  Extent out;
  if (const bike::Plate* p = bike::find_plate(a, name)) {
    for (const Vec3& v : p->outline)
      for (const double side : {-0.5, 0.5}) out.take(v + side * p->thickness * p->normal);
    return out;
  }
  const bike::Member& m = *bike::find_member(a, name);
  const study::Mitre *low = nullptr, *high = nullptr;
  for (const study::Mitre& c : mitres)
    if (c.member == name) (c.end == bike::End::start ? low : high) = &c;
  for (const study::Mitre* c : {low, high}) {
    if (c == nullptr) continue;
    for (const auto* edge : {&c->outer, &c->inner})
      for (const study::EdgePoint& q : *edge) out.take(q.point);
  }
  // whole rings; what lies beside the cut's edge is on the edge or lower than a ring or the edge itself
  const double from = low ? low->s_most : m.s_start, to = high ? high->s_least : m.s_end;
  const int n = 1 + static_cast<int>(std::abs(to - from) / 0.25);
  for (int i = 0; i <= n && to > from; ++i)
    for (int k = 0; k < 720; ++k)
      out.take(shape::surface(m.tube, base::unit_at(2 * base::kPi * k / 720), from + (to - from) * i / n).p);
  // generators between ring and edge
  for (const study::Mitre* c : {low, high}) {
    if (c == nullptr) continue;
    const double ring = c == low ? from : to;
    for (const study::EdgePoint& q : c->outer)
      for (int i = 0; i <= 8; ++i)
        out.take(shape::surface(m.tube, base::unit_at(q.u), q.s + (ring - q.s) * i / 8).p);
  }
  return out;
}

/// Of what was read: the corners of OpenCASCADE's own facets, which lie on the surfaces.
Extent extent_of(const TopoDS_Shape& solid) {
  BRepMesh_IncrementalMesh(solid, 0.04, false, 0.2);
  Extent out;
  for (TopExp_Explorer face(solid, TopAbs_FACE); face.More(); face.Next()) {
    TopLoc_Location at;
    const Handle(Poly_Triangulation) facets = BRep_Tool::Triangulation(TopoDS::Face(face.Current()), at);
    for (int i = 1; !facets.IsNull() && i <= facets->NbNodes(); ++i) {
      const gp_Pnt p = facets->Node(i).Transformed(at.Transformation());
      out.take(Vec3(p.X(), p.Y(), p.Z()));
    }
  }
  return out;
}

class EveryExample : public testing::TestWithParam<fs::path> {};

TEST_P(EveryExample, IsReadBackValidWithTheMassStudysVolume) {
  const auto a = solved(GetParam());
  ASSERT_TRUE(a);
  Shelf shelf;
  const auto parts = solids(a->fork.assembly, a->mitres, shelf);
  ASSERT_TRUE(parts) << base::sentence(parts.error());
  const auto step = to_step(*parts, "fork");
  ASSERT_TRUE(step);
  const fs::path file = fs::temp_directory_path() / (GetParam().parent_path().filename().string() + ".step");
  std::ofstream(file, std::ios::binary) << *step;
  STEPControl_Reader reader;
  ASSERT_EQ(reader.ReadFile(file.c_str()), IFSelect_RetDone);
  reader.TransferRoots();
  std::size_t i = 0;
  for (TopExp_Explorer s(reader.OneShape(), TopAbs_SOLID); s.More(); s.Next(), ++i) {
    ASSERT_LT(i, parts->size());
    EXPECT_TRUE(BRepCheck_Analyzer(s.Current()).IsValid()) << (*parts)[i].part;
    const double theirs = volume_of(s.Current());
    const study::PartMass& ours = a->mass.parts[i];
    ASSERT_EQ(ours.part, (*parts)[i].part);
    std::printf("%-16s %14.5f mm3, mass study %14.5f, %.1e apart\n", ours.part.name.c_str(), theirs,
                ours.volume, theirs / ours.volume - 1);
    EXPECT_NEAR(theirs / ours.volume, 1, 2e-7) << ours.part;
    // its box is that of what the assembly says is there, reckoned from rings along the part
    const Extent box = extent_of(a->fork.assembly, a->mitres, ours.part);
    const Extent read = extent_of(s.Current());
    for (int k = 0; k < 3; ++k) {
      EXPECT_GT(read.low[k], box.low[k] - 0.04) << ours.part;
      EXPECT_LT(read.high[k], box.high[k] + 0.04) << ours.part;
      if (slotted(a->fork.assembly, ours.part)) continue;  // a slot takes away what may reach farthest
      EXPECT_NEAR(read.low[k], box.low[k], 0.04) << ours.part;
      EXPECT_NEAR(read.high[k], box.high[k], 0.04) << ours.part;
    }
  }
  EXPECT_EQ(i, parts->size());
  fs::remove(file);
}

TEST_P(EveryExample, GivesTheSameBytesTwice) {
  const auto a = solved(GetParam());
  ASSERT_TRUE(a);
  Shelf one, two;
  const auto first = solids(a->fork.assembly, a->mitres, one),
             second = solids(a->fork.assembly, a->mitres, two);
  ASSERT_TRUE(first && second);
  EXPECT_TRUE(*to_step(*first, "fork") == *to_step(*second, "fork"));
  EXPECT_TRUE(to_glb(*first, "fork") == to_glb(*second, "fork"));
  const std::size_t made = one.made();
  const auto again = solids(a->fork.assembly, a->mitres, one);
  ASSERT_TRUE(again);
  EXPECT_EQ(one.made(), made);
}

INSTANTIATE_TEST_SUITE_P(Examples, EveryExample, testing::ValuesIn(examples()), [](const auto& p) {
  std::string name = p.param.parent_path().filename().string();
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

}  // namespace
}  // namespace halfround::solid
