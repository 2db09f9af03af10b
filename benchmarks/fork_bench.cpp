// A whole fork: layout, and every mitre of it with both edges and templates. README.md says how the figures
// are read.
#include <benchmark/benchmark.h>

#include "layout_scene.h"
#include "study/mitre.h"

namespace {

using namespace halfround;

void lay_out(benchmark::State& state) {
  const layout::Intent intent = layout::scene();
  for (auto _ : state) benchmark::DoNotOptimize(layout::lay_out(intent));
}
BENCHMARK(lay_out)->Unit(benchmark::kMicrosecond);

void all_mitres(benchmark::State& state) {
  const auto fork = layout::lay_out(layout::scene());
  for (auto _ : state) benchmark::DoNotOptimize(study::mitres(fork->assembly, {}));
}
BENCHMARK(all_mitres)->Unit(benchmark::kMicrosecond);

void whole_fork(benchmark::State& state) {
  const layout::Intent intent = layout::scene();
  for (auto _ : state) {
    const auto fork = layout::lay_out(intent);
    benchmark::DoNotOptimize(study::mitres(fork->assembly, {}));
  }
}
BENCHMARK(whole_fork)->Unit(benchmark::kMicrosecond);

}  // namespace

BENCHMARK_MAIN();
