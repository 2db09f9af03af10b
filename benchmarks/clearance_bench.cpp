// Tyre to blade: ours, without and with its proved bound, against OpenCASCADE's BRepExtrema_DistShapeShape,
// in one run. Then the whole study of a fork. README.md says how the figures are read.
#include <benchmark/benchmark.h>

#include "layout_scene.h"
#include "outside/clearance/occt_wheel.h"
#include "shape/separation.h"
#include "study/clearance.h"

namespace {

using namespace halfround;
using base::Vec3;

shape::Tube blade() {
  return occt::scene_blade(Vec3(10, 62, 90), Vec3(0.1, -0.06, 1).normalized());
}

void value(benchmark::State& state) {
  const shape::Tube tube = blade(), tyre = occt::scene_tyre();
  for (auto _ : state) benchmark::DoNotOptimize(shape::least_gap(tube, 0, tube.length(), tyre));
}
BENCHMARK(value)->Unit(benchmark::kMicrosecond);

void value_and_bound(benchmark::State& state) {
  const shape::Tube tube = blade();
  const shape::Body tyre = shape::Body::ring(occt::scene_tyre());
  for (auto _ : state) benchmark::DoNotOptimize(shape::separation(tube, 0, tube.length(), tyre));
}
BENCHMARK(value_and_bound)->Unit(benchmark::kMicrosecond);

void opencascade(benchmark::State& state) {
  const TopoDS_Shape tube = occt::ruled(blade(), 0, 290), tyre = occt::revolved_ring(occt::scene_tyre());
  for (auto _ : state) benchmark::DoNotOptimize(BRepExtrema_DistShapeShape(tyre, tube).Value());
}
BENCHMARK(opencascade)->Unit(benchmark::kMicrosecond);

// the same three with a bent blade: 110 mm of arc, one section all along, so that both surfaces are exact
shape::Tube bent_blade() {
  shape::Tube tube;
  tube.centreline = shape::Centreline::from_runs({{110, 1.1, 4.5}}, Vec3(5, 80, 270),
                                                 Vec3(0.1, -0.1, 1).normalized(), Vec3::UnitX());
  tube.profile = shape::Profile({{0, 24, 30, 1, nullptr}});
  return tube;
}

void bent_value(benchmark::State& state) {
  const shape::Tube tube = bent_blade(), tyre = occt::scene_tyre();
  for (auto _ : state) benchmark::DoNotOptimize(shape::least_gap(tube, 0, tube.length(), tyre));
}
BENCHMARK(bent_value)->Unit(benchmark::kMicrosecond);

void bent_value_and_bound(benchmark::State& state) {
  const shape::Tube tube = bent_blade();
  const shape::Body tyre = shape::Body::ring(occt::scene_tyre());
  for (auto _ : state) benchmark::DoNotOptimize(shape::separation(tube, 0, tube.length(), tyre));
}
BENCHMARK(bent_value_and_bound)->Unit(benchmark::kMicrosecond);

void bent_opencascade(benchmark::State& state) {
  const TopoDS_Shape tube = occt::revolved(bent_blade()), tyre = occt::revolved_ring(occt::scene_tyre());
  for (auto _ : state) benchmark::DoNotOptimize(BRepExtrema_DistShapeShape(tyre, tube).Value());
}
BENCHMARK(bent_opencascade)->Unit(benchmark::kMicrosecond);

study::ClearanceOptions everything() {
  study::ClearanceOptions o;
  o.over_locknut = 100, o.axle_diameter = 12;
  o.rim = study::Rim{.bead_seat = 559, .inside_width = 25};
  o.rotor = study::Rotor{.diameter = 160};
  o.calliper = study::Calliper{};
  return o;
}

void tyre_alone(benchmark::State& state) {
  const auto fork = layout::lay_out(layout::scene());
  for (auto _ : state) benchmark::DoNotOptimize(study::clearance(fork->assembly, {}));
}
BENCHMARK(tyre_alone)->Unit(benchmark::kMicrosecond);

void whole_study(benchmark::State& state) {
  const auto fork = layout::lay_out(layout::scene());
  const study::ClearanceOptions o = everything();
  for (auto _ : state) benchmark::DoNotOptimize(study::clearance(fork->assembly, o));
}
BENCHMARK(whole_study)->Unit(benchmark::kMicrosecond);

}  // namespace

BENCHMARK_MAIN();
