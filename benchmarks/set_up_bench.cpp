// All set-ups of a fork with twelve cutters beside one OpenCASCADE section of a blade and a steerer, in one
// run. README.md says how the figures are read.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <vector>

#include "outside/opencascade/occt_tube.h"
#include "shop/by_hand.h"
#include "shop_scene.h"

namespace {

using namespace halfround;

/// Processor time of this thread, s: other work on the machine counts less against either side.
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

struct Scene {
  bike::Assembly fork = shop::scene_fork();
  std::vector<study::Mitre> mitres = shop::mitres_of(fork);
  shop::Shop shop = shop::scene_shop();
};

void all_set_ups(benchmark::State& state, const Scene& scene) {
  for (auto _ : state) {
    const auto all = shop::set_ups(scene.fork, scene.mitres, scene.shop);
    benchmark::DoNotOptimize(all.data());
  }
  state.counters["times_ours"] = 0;
}

void all_hand_plans(benchmark::State& state, const Scene& scene) {
  for (auto _ : state) {
    for (const auto& m : scene.mitres) {
      const auto plan = shop::by_hand(scene.fork, m, scene.shop);
      benchmark::DoNotOptimize(plan.rows.data());
    }
  }
  state.counters["times_ours"] = 0;
}

/// One section; the counter is its time over all set-ups', both taken here in turn, median of nine pairs.
void one_section(benchmark::State& state, const Scene& scene, const TopoDS_Shape& member,
                 const shape::Tube& steerer) {
  const TopoDS_Shape target = occt::cylinder(steerer);
  for (auto _ : state) {
    const TopoDS_Shape curve = occt::section(member, target, false);
    benchmark::DoNotOptimize(curve.IsNull());
  }
  std::vector<double> ratios;
  for (int i = 0; i < 9; ++i) {
    const double theirs = once([&] { occt::section(member, target, false); });
    const double ours =
        once([&] { benchmark::DoNotOptimize(shop::set_ups(scene.fork, scene.mitres, scene.shop).data()); });
    ratios.push_back(theirs / ours);
  }
  std::sort(ratios.begin(), ratios.end());
  state.counters["times_ours"] = ratios[ratios.size() / 2];
}

}  // namespace

int main(int argc, char** argv) {
  const Scene scene;
  const auto straight = shape::taper_scene(), bent = shape::bent_oval_scene();
  benchmark::RegisterBenchmark("fork/all_set_ups_12_cutters", all_set_ups, scene)
      ->Unit(benchmark::kMicrosecond);
  benchmark::RegisterBenchmark("fork/all_hand_plans", all_hand_plans, scene)->Unit(benchmark::kMicrosecond);
  benchmark::RegisterBenchmark("straight_taper/section_near_side", one_section, scene,
                               occt::ruled(straight.member, 0, 304), straight.target)
      ->Unit(benchmark::kMicrosecond)
      ->MinTime(0.5);
  benchmark::RegisterBenchmark("bent_oval/section_revolved", one_section, scene, occt::revolved(bent.member),
                               bent.target)
      ->Unit(benchmark::kMicrosecond)
      ->MinTime(0.5);
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
}
