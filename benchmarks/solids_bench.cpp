// A changed fork as STEP and as GLB, beside the plain way with OpenCASCADE: sweep every tube, cut bores and
// mitres by booleans, write. And the outlines of a view, beside meshing and hidden-line removal of the same
// solids. One run, in turn; README.md says how the figures are read.
#include <benchmark/benchmark.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <HLRAlgo_Projector.hxx>
#include <HLRBRep_PolyAlgo.hxx>
#include <HLRBRep_PolyHLRToShape.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPControl_Reader.hxx>
#include <STEPControl_Writer.hxx>
#include <TopExp_Explorer.hxx>
#include <algorithm>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "drawing/fork_outline.h"
#include "job/read.h"
#include "outside/opencascade/occt_tube.h"
#include "outside/solids/forks.h"
#include "solid/solid.h"
#include "solve/solve.h"

namespace {

using namespace halfround;
using base::Vec3;

double thread_time() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}
template <class F>
double once(F&& call) {
  const double start = thread_time();
  call();
  return thread_time() - start;
}
double middle(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v[v.size() / 2];
}

struct Solved {
  job::Job job;
  solve::Answer answer;
};
/// The island's fork with another clearance: both blades change, steerer and inserts don't.
Solved island(double clearance) {
  std::ostringstream in;
  in << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml").rdbuf();
  std::string text = in.str();
  const std::string was = "[wishes]\nclearance = 8";
  text.replace(text.find(was), was.size(), "[wishes]\nclearance = " + std::to_string(clearance));
  Solved out{*job::read_job(text, "island"), {}};
  out.answer = *solve::solve(out.job, {.tolerance = false, .changes = false});
  return out;
}
double next_clearance() {
  static int n = 0;
  return 8 + 0.003 * ++n;
}

// ---- theirs

TopoDS_Shape swept(const shape::Tube& tube, double s0, double s1) {
  const auto at = [&](double s) { return occt::pnt(tube.centreline.point(s)); };
  BRepBuilderAPI_MakeWire spine;
  for (const shape::Piece& q : tube.centreline.pieces()) {
    const double a = std::max(s0, q.s0), b = std::min(s1, q.s0 + q.length);
    if (b - a < 1e-6) continue;
    if (q.curvature == 0)
      spine.Add(BRepBuilderAPI_MakeEdge(at(a), at(b)));
    else
      spine.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(at(a), at((a + b) / 2), at(b)).Value()));
  }
  BRepOffsetAPI_MakePipeShell pipe(spine.Wire());
  std::vector<double> places{s0, s1};
  for (const shape::Station& q : tube.profile.stations())
    if (q.s > s0 + 1 && q.s < s1 - 1) places.push_back(q.s);
  std::sort(places.begin(), places.end());
  for (const double s : places) pipe.Add(occt::section_wire(tube, s));
  pipe.Build();
  pipe.MakeSolid();
  return pipe.Shape();
}

TopoDS_Shape bar(const bike::Member& m, double diameter) {
  const shape::Frame f = m.tube.centreline.at(m.s_start);
  return BRepPrimAPI_MakeCylinder(gp_Ax2(occt::pnt(f.c), occt::dir(f.t)), diameter / 2, m.s_end - m.s_start)
      .Shape();
}

/// Every part by booleans, written to a file.
void plain_chain(const bike::Assembly& a, const std::string& file) {
  STEPControl_Writer writer;
  Interface_Static::SetCVal("write.step.unit", "MM");
  for (const bike::Member& m : a.members) {
    const double outside = m.tube.profile.width(0), bore = outside - 2 * m.tube.profile.wall(0);
    TopoDS_Shape part;
    if (m.part.kind == bike::PartKind::blade) {
      // far enough through the joints to be cut
      const double s0 = std::max(0.0, m.s_start - 8), s1 = m.s_end;
      part = BRepAlgoAPI_Cut(swept(m.tube, s0, s1), swept(m.tube.inner(), s0, s1)).Shape();
      for (const bike::Joint& j : a.joints) {
        if (j.member != m.part) continue;
        const bike::Member& onto = *bike::find_member(a, j.onto);
        part = BRepAlgoAPI_Cut(part, bar(onto, onto.tube.profile.width(0))).Shape();
      }
    } else {
      part = BRepAlgoAPI_Cut(bar(m, outside), bar(m, bore)).Shape();
    }
    writer.Transfer(part, STEPControl_AsIs);
  }
  writer.Write(file.c_str());
}

std::string scratch() {
  return (std::filesystem::temp_directory_path() /
          ("halfround-bench-" + std::to_string(::getpid()) + ".step"))
      .string();
}

/// The solids as a stranger reads them.
TopoDS_Shape read_back(const Solved& fork) {
  solid::Shelf shelf;
  const auto parts = solid::solids(fork.answer.fork.assembly, fork.answer.mitres, shelf);
  std::ofstream(scratch(), std::ios::binary) << *solid::to_step(*parts, "fork");
  STEPControl_Reader reader;
  reader.ReadFile(scratch().c_str());
  reader.TransferRoots();
  std::filesystem::remove(scratch());
  return reader.OneShape();
}

void hidden_lines(const TopoDS_Shape& fork, const drawing::View& view) {
  const TopoDS_Shape copy = BRepBuilderAPI_Copy(fork).Shape();
  BRepMesh_IncrementalMesh(copy, 0.1);
  Handle(HLRBRep_PolyAlgo) hidden = new HLRBRep_PolyAlgo();
  hidden->Load(copy);
  hidden->Projector(
      HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), occt::dir(view.toward), occt::dir(view.right))));
  hidden->Update();
  HLRBRep_PolyHLRToShape lines;
  lines.Update(hidden);
  benchmark::DoNotOptimize(lines.VCompound().IsNull());
  benchmark::DoNotOptimize(lines.OutLineVCompound().IsNull());
}

// ---- ours

void to_step(const Solved& fork, solid::Shelf& shelf) {
  const auto parts = solid::solids(fork.answer.fork.assembly, fork.answer.mitres, shelf);
  benchmark::DoNotOptimize(solid::to_step(*parts, "fork")->data());
}
void to_glb(const Solved& fork, solid::Shelf& shelf) {
  const auto parts = solid::solids(fork.answer.fork.assembly, fork.answer.mitres, shelf);
  benchmark::DoNotOptimize(solid::to_glb(*parts, "fork").data());
}
void outlines(const Solved& fork) {
  const drawing::Drawing d = drawing::drawing_of(fork.job, fork.answer);
  benchmark::DoNotOptimize(drawing::parts_group(d, d.front, "parts", "parts", false).items.size());
}

void changed_step(benchmark::State& state) {
  solid::Shelf shelf;
  to_step(island(8), shelf);
  for (auto _ : state) {
    state.PauseTiming();
    const Solved fork = island(next_clearance());
    state.ResumeTiming();
    to_step(fork, shelf);
  }
  state.counters["times_ours"] = 0;
}
BENCHMARK(changed_step)->Unit(benchmark::kMillisecond);

void changed_glb(benchmark::State& state) {
  solid::Shelf shelf;
  to_glb(island(8), shelf);
  for (auto _ : state) {
    state.PauseTiming();
    const Solved fork = island(next_clearance());
    state.ResumeTiming();
    to_glb(fork, shelf);
  }
  state.counters["times_ours"] = 0;
}
BENCHMARK(changed_glb)->Unit(benchmark::kMillisecond);

void front_outlines(benchmark::State& state) {
  const Solved fork = island(8);
  for (auto _ : state) outlines(fork);
  state.counters["times_ours"] = 0;
}
BENCHMARK(front_outlines)->Unit(benchmark::kMillisecond);

/// The counter: theirs over ours, taken in turn, median of five pairs.
void plain_step(benchmark::State& state) {
  const Solved fork = island(8);
  for (auto _ : state) plain_chain(fork.answer.fork.assembly, scratch());
  solid::Shelf shelf;
  to_step(fork, shelf);
  std::vector<double> ratios;
  for (int i = 0; i < 5; ++i) {
    const Solved changed = island(next_clearance());
    const double theirs = once([&] { plain_chain(changed.answer.fork.assembly, scratch()); });
    ratios.push_back(theirs / once([&] { to_step(changed, shelf); }));
  }
  std::filesystem::remove(scratch());
  state.counters["times_ours"] = middle(ratios);
}
BENCHMARK(plain_step)->Unit(benchmark::kMillisecond)->Iterations(3);

void front_hidden_lines(benchmark::State& state) {
  const Solved fork = island(8);
  const TopoDS_Shape shape = read_back(fork);
  const drawing::View view = drawing::drawing_of(fork.job, fork.answer).front;
  for (auto _ : state) hidden_lines(shape, view);
  std::vector<double> ratios;
  for (int i = 0; i < 5; ++i) {
    const double theirs = once([&] { hidden_lines(shape, view); });
    ratios.push_back(theirs / once([&] { outlines(fork); }));
  }
  state.counters["times_ours"] = middle(ratios);
}
BENCHMARK(front_hidden_lines)->Unit(benchmark::kMillisecond)->Iterations(3);

/// Joints of equal and tangent tubes, where edges cross and touch: STEP and GLB from nothing. The bound that
/// `make` and the page hold is 20 s a file.
void equal_tubes(benchmark::State& state) {
  static const auto all = forks::equal_tubes();
  const forks::NamedFork& f = all[static_cast<std::size_t>(state.range(0))];
  const auto job = job::read_job(f.text, "job.toml");
  const auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
  state.SetLabel(f.name);
  for (auto _ : state) {
    solid::Shelf shelf;
    const auto parts = solid::solids(answer->fork.assembly, answer->mitres, shelf);
    benchmark::DoNotOptimize(solid::to_step(*parts, "fork"));
    benchmark::DoNotOptimize(solid::to_glb(*parts, "fork"));
  }
}
BENCHMARK(equal_tubes)->DenseRange(0, 14)->Unit(benchmark::kMillisecond)->Iterations(1);

}  // namespace

int main(int argc, char** argv) {
  Message::DefaultMessenger()->ChangePrinters().Clear();  // the writers talk otherwise
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
}
