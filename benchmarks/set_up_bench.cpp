// All set-ups of a fork with twelve cutters beside one OpenCASCADE section of a blade and a steerer, in one
// run. README.md says how the figures are read.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <vector>

#include "layout/lay_out.h"
#include "layout_scene.h"
#include "outside/opencascade/occt_tube.h"
#include "shop/by_hand.h"
#include "shop_scene.h"
#include "study/clearance.h"
#include "study/mass.h"
#include "study/strength.h"

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

/// Everything a changed fork needs while one edits: layout, mitres, clearance, strength, mass.
void whole_fork_once() {
  const auto fork = layout::lay_out(layout::scene());
  const bike::Assembly& a = fork->assembly;
  const auto mitres = study::mitres(a, {});
  study::ClearanceOptions near;
  near.over_locknut = 100, near.axle_diameter = 12;
  near.rim = study::Rim{.bead_seat = 559, .inside_width = 25};
  near.rotor = study::Rotor{.diameter = 160}, near.calliper = study::Calliper{};
  benchmark::DoNotOptimize(study::clearance(a, near));
  study::StrengthOptions strong;
  strong.brake = study::Brake{};
  benchmark::DoNotOptimize(study::strength(a, strong)->cases.size());
  benchmark::DoNotOptimize(study::mass(a, *mitres).total);
}

void whole_fork(benchmark::State& state) {
  for (auto _ : state) whole_fork_once();
  state.counters["times_ours"] = 0;
}

/// One section; the counter is its time over all set-ups', both taken here in turn, median of nine pairs.
///   in  ours  what it is held against
template <class F>
void one_section(benchmark::State& state, const TopoDS_Shape& member, const shape::Tube& steerer,
                 F ours_once) {
  const TopoDS_Shape target = occt::cylinder(steerer);
  for (auto _ : state) {
    const TopoDS_Shape curve = occt::section(member, target, false);
    benchmark::DoNotOptimize(curve.IsNull());
  }
  std::vector<double> ratios;
  for (int i = 0; i < 9; ++i) {
    const double theirs = once([&] { occt::section(member, target, false); });
    const double ours = once(ours_once);
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
  benchmark::RegisterBenchmark("fork/whole_with_studies", whole_fork)->Unit(benchmark::kMicrosecond);
  const auto set_ups = [&] {
    benchmark::DoNotOptimize(shop::set_ups(scene.fork, scene.mitres, scene.shop).data());
  };
  const TopoDS_Shape near_side = occt::ruled(straight.member, 0, 304), revolved = occt::revolved(bent.member);
  const auto against = [](const char* name, const TopoDS_Shape& member, const shape::Tube& steerer,
                          auto ours) {
    benchmark::RegisterBenchmark(
        name,
        [&member, &steerer, ours](benchmark::State& state) { one_section(state, member, steerer, ours); })
        ->Unit(benchmark::kMicrosecond)
        ->MinTime(0.5);
  };
  against("section_straight/over_set_ups", near_side, straight.target, set_ups);
  against("section_bent/over_set_ups", revolved, bent.target, set_ups);
  against("section_straight/over_whole_fork", near_side, straight.target, whole_fork_once);
  against("section_bent/over_whole_fork", revolved, bent.target, whole_fork_once);
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
}
