// One mitre, curve and developed template, beside OpenCASCADE's section curve of the identical surfaces, in
// one run. README.md says how the figures are read.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <vector>

#include "mitre_scene.h"
#include "outside/opencascade/occt_tube.h"
#include "shape/unroll.h"

namespace {

using namespace halfround;

/// Processor time of this thread, s: other work on the machine counts less against either side.
double thread_time() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

/// Median time of one call, s.
template <class F>
double median_time(int times, F&& call) {
  std::vector<double> all;
  for (int i = 0; i < times; ++i) {
    const double start = thread_time();
    call();
    all.push_back(thread_time() - start);
  }
  std::nth_element(all.begin(), all.begin() + times / 2, all.end());
  return all[static_cast<std::size_t>(times / 2)];
}

/// The CSV needs the same counters in every row; 0 where one says nothing.
void set_counters(benchmark::State& state, std::size_t points, double times_ours) {
  state.counters["points"] = static_cast<double>(points);
  state.counters["times_ours"] = times_ours;
}

void our_mitre(benchmark::State& state, const shape::MitreScene& scene) {
  std::size_t points = 0;
  for (auto _ : state) {
    const auto found = shape::cut(scene.member, scene.target, scene.search);
    const auto flat = shape::unroll(scene.member, *found, {.s_scribe = scene.s_scribe});
    points = found->points.size();
    benchmark::DoNotOptimize(flat.error);
  }
  set_counters(state, points, 0);
}

void our_cut(benchmark::State& state, const shape::MitreScene& scene) {
  for (auto _ : state) {
    const auto found = shape::cut(scene.member, scene.target, scene.search);
    benchmark::DoNotOptimize(found->passed_by);
  }
  set_counters(state, 0, 0);
}

/// OpenCASCADE's section; the counter is its median time over ours, both taken here in turn.
void their_section(benchmark::State& state, const shape::MitreScene& scene, const TopoDS_Shape& member) {
  const TopoDS_Shape target = occt::cylinder(scene.target);
  for (auto _ : state) {
    const TopoDS_Shape curve = occt::section(member, target, false);
    benchmark::DoNotOptimize(curve.IsNull());
  }
  std::vector<double> ratios;
  for (int i = 0; i < 9; ++i) {
    const double theirs = median_time(3, [&] { occt::section(member, target, false); });
    const double ours = median_time(101, [&] {
      const auto found = shape::cut(scene.member, scene.target, scene.search);
      benchmark::DoNotOptimize(shape::unroll(scene.member, *found, {.s_scribe = scene.s_scribe}));
    });
    ratios.push_back(theirs / ours);
  }
  std::sort(ratios.begin(), ratios.end());
  set_counters(state, 0, ratios[ratios.size() / 2]);
}

}  // namespace

int main(int argc, char** argv) {
  const auto straight = shape::taper_scene(), bent = shape::bent_oval_scene(),
             bent_taper = shape::bent_taper_scene();
  const auto ours = [](const char* name, const shape::MitreScene& scene) {
    benchmark::RegisterBenchmark(name, our_mitre, scene)->Unit(benchmark::kMicrosecond);
  };
  const auto theirs = [](const char* name, const shape::MitreScene& scene, const TopoDS_Shape& member) {
    benchmark::RegisterBenchmark(name, their_section, scene, member)
        ->Unit(benchmark::kMicrosecond)
        ->MinTime(0.5);
  };
  ours("straight_taper/cut_and_unroll", straight);
  benchmark::RegisterBenchmark("straight_taper/cut", our_cut, straight)->Unit(benchmark::kMicrosecond);
  // once as long as the joint needs it, once going on through the steerer's far side
  theirs("straight_taper/section_near_side", straight, occt::ruled(straight.member, 0, 304));
  theirs("straight_taper/section_through", straight, occt::ruled(straight.member, 0, 340));
  ours("bent_oval/cut_and_unroll", bent);
  benchmark::RegisterBenchmark("bent_oval/cut", our_cut, bent)->Unit(benchmark::kMicrosecond);
  theirs("bent_oval/section_revolved", bent, occt::revolved(bent.member));
  ours("bent_taper/cut_and_unroll", bent_taper);
  theirs("bent_taper/section_swept", bent_taper, occt::swept(bent_taper.member));
  for (const auto& scene :
       {shape::round_scene(), shape::partial_scene(), shape::wide_scene(), shape::bent_partial_scene()}) {
    benchmark::RegisterBenchmark((std::string(scene.name) + "/cut_and_unroll").c_str(), our_mitre, scene)
        ->Unit(benchmark::kMicrosecond);
  }
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
}
