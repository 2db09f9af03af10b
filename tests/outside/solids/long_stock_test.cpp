// Stock longer than the shape, at either end, bent and traced. Who else says so: OpenCASCADE, reading the
// finished blade's STEP file: where its edges are and how much steel there is. Ours: what the cards say, the
// scribe line's distance from the stock's ends, the depths by clock from it, the template.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRep_Builder.hxx>
#include <STEPControl_Reader.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "bike/blade.h"
#include "job/intent.h"
#include "job/read.h"
#include "outside/solids/volume.h"
#include "parts.h"
#include "solid/solid.h"
#include "solve/solve.h"

namespace halfround::solid {
namespace {

namespace fs = std::filesystem;

std::string island(const std::string& from, const std::string& to) {
  std::stringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml").rdbuf();
  std::string out = text.str();
  const std::size_t at = out.find(from);
  base::check(at != std::string::npos, "the example still says so");
  return out.replace(at, from.size(), to);
}

/// The island's blade as points of its middle line, every 14 mm.
std::string traced(const std::string& stock) {
  const auto job = job::read_job(island("version = 1", "version = 1"), "fork.toml");
  const auto line = bike::on_bench(job::intent_of(*job)->left).centreline;
  std::string rows = "traced = [\n";
  for (double s = 0; s < 471; s += 14) {
    const Vec3 p = line.point(s);
    rows += fmt::format("  [{:.4f}, {:.4f}, {:.4f}],\n", p.z(), -p.y(), p.x());
  }
  const std::string old =
      "shape = [   # from the tip up\n  {straight = 345},\n  {bend = \"71 deg\", radius = 75, toward = "
      "\"inward\"},\n"
      "  {straight = 34},\n]\nstock_length = 472\n";
  return island(old, rows + "]\n" + stock);
}

struct Case {
  const char* name;
  std::string job;
};

std::vector<Case> cases() {
  return {{"as measured", island("stock_length = 472", "stock_length = 472")},
          {"20 mm more at the crown end", island("stock_length = 472", "stock_length = 492")},
          {"20 mm more at the tip", island("stock_length = 472", "stock_length = 492\nbelow_shape = 20")},
          {"more at both ends", island("stock_length = 472", "stock_length = 500.3\nbelow_shape = 12.4")},
          {"inches", island("stock_length = 472", "stock_length = \"19 5/8 in\"\nbelow_shape = \"1/2 in\"")},
          {"traced", traced("")},
          {"traced, more at both ends", traced("stock_length = 505\nbelow_shape = 17.5\n")},
          {"bend ending inside the cut",
           island("{bend = \"71 deg\", radius = 75, toward = \"inward\"},\n  {straight = 34}",
                  "{bend = \"71 deg\", radius = 60, toward = \"inward\"},\n  {straight = 50}")},
          {"smooth rings", island("[blades]\n", "[blades]\nbetween_rings = \"smooth\"\n")}};
}

std::vector<TopoDS_Shape> read_back(const std::vector<Part>& parts) {
  const auto step = to_step(parts, "fork");
  base::check(step.has_value(), "a STEP file is written");
  const fs::path file = fs::temp_directory_path() / fmt::format("long-stock-{}.step", getpid());
  std::ofstream(file, std::ios::binary) << *step;
  STEPControl_Reader reader;
  base::check(reader.ReadFile(file.c_str()) == IFSelect_RetDone, "and read");
  reader.TransferRoots();
  fs::remove(file);
  std::vector<TopoDS_Shape> out;
  for (TopExp_Explorer s(reader.OneShape(), TopAbs_SOLID); s.More(); s.Next()) out.push_back(s.Current());
  return out;
}

TopoDS_Compound edges_of(const TopoDS_Shape& solid) {
  BRep_Builder build;
  TopoDS_Compound out;
  build.MakeCompound(out);
  for (TopExp_Explorer e(solid, TopAbs_EDGE); e.More(); e.Next()) build.Add(out, e.Current());
  return out;
}

double distance(const TopoDS_Shape& edges, const Vec3& p) {
  BRepExtrema_DistShapeShape d(BRepBuilderAPI_MakeVertex(gp_Pnt(p.x(), p.y(), p.z())).Vertex(), edges);
  return d.IsDone() ? d.Value() : INFINITY;
}

/// From a ring along the skin at clock angle u, `depth` mm toward the joint: where a calliper puts its mark.
Vec3 marked(const shape::Tube& tube, double u, double ring, double toward, double depth) {
  const base::Vec2 e = base::unit_at(u);
  double s = ring + toward * depth;
  for (int i = 0; i < 30; ++i) s += toward * (depth - toward * shape::generator_length(tube, e, ring, s));
  return shape::surface(tube, e, s).p;
}

TEST(LongStock, TheCutIsWhereTheCardSaysFromEitherEndOfTheStock) {
  for (const Case& c : cases()) {
    const auto job = job::read_job(c.job, "fork.toml");
    ASSERT_TRUE(job) << c.name << ": " << base::sentence(job.error().front());
    const auto a = solve::solve(*job, {.tolerance = false, .changes = false});
    ASSERT_TRUE(a) << c.name << ": " << base::sentence(a.error());
    Shelf shelf;
    const auto parts = solids(a->fork.assembly, a->mitres, shelf);
    ASSERT_TRUE(parts) << c.name << ": " << base::sentence(parts.error());
    const auto theirs = read_back(*parts);
    ASSERT_EQ(theirs.size(), parts->size());
    double worst = 0, paper = 0;
    for (const study::Mitre& m : a->mitres) {
      const bike::Member& member = *bike::find_member(a->fork.assembly, m.member);
      std::size_t k = 0;
      while ((*parts)[k].part != m.member) ++k;
      const TopoDS_Compound edges = edges_of(theirs[k]);
      const bool upper = m.end == bike::End::end;
      EXPECT_NEAR(m.scribe_from_end.centre + m.scribe_from_other.centre, member.stock_length, 1e-9) << c.name;
      EXPECT_NEAR(m.scribe_from_end.centre, std::round(m.scribe_from_end.centre), 1e-6) << c.name;
      for (const bool from_tip : {true, false}) {
        // from the end of the steel, along its middle line
        const double to_ring = from_tip == upper ? m.scribe_from_other.centre : m.scribe_from_end.centre;
        const double ring = from_tip ? to_ring : member.stock_length - to_ring;
        for (const study::ClockDepth& row : m.clock)
          worst =
              std::max(worst, distance(edges, marked(member.tube, row.u, ring, upper ? 1 : -1, row.outer)));
      }
      // a tape on the skin ends at the ring, too
      const shape::Tape& tape = upper ? m.scribe_from_other : m.scribe_from_end;
      if (tape.bent) {
        for (const bool outside : {true, false}) {
          const double u = tape.clock_outside + (outside ? 0 : base::kPi);
          EXPECT_NEAR(shape::generator_length(member.tube, base::unit_at(u), 0, m.s_scribe),
                      outside ? tape.outside : tape.inside, 1e-6);
        }
        EXPECT_GT(tape.outside, tape.centre + 5);
        EXPECT_LT(tape.inside, tape.centre - 5);
      }
      for (const study::ClockDepth& row : m.clock) {
        const auto& t = m.template_;
        for (std::size_t i = 0; i < t.u.size(); ++i) {
          if (std::abs(std::remainder(t.u[i] - row.u, 2 * base::kPi)) > 1e-9) continue;
          const double on_paper = (t.edge[i] - t.ring[i]).norm();
          // where the cut jumps along a generator the paper has both
          const bool jump = (i > 0 && t.u[i - 1] == t.u[i]) || (i + 1 < t.u.size() && t.u[i + 1] == t.u[i]);
          if (!jump) paper = std::max(paper, std::abs(on_paper - std::abs(row.outer)));
        }
      }
      EXPECT_NEAR(volume_of(theirs[k]) / a->mass.parts[k].volume, 1, 2e-7) << c.name << " " << m.member;
    }
    const study::Mitre& top = a->mitres[0].end == bike::End::end ? a->mitres[0] : a->mitres[1];
    std::printf(
        "%-28s cut within %.5f mm of the card, paper %.5f mm; scribe %.1f from the upper end, %.2f from the "
        "tip, cut s %.1f to %.1f\n",
        c.name, worst, paper, top.scribe_from_end.centre, top.scribe_from_other.centre, top.s_least,
        top.s_most);
    EXPECT_LT(worst, 0.01) << c.name;
    EXPECT_LT(paper, 0.01) << c.name;
  }
}

}  // namespace
}  // namespace halfround::solid
