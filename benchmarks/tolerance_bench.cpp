// A million draws through a chain of 12 toleranced dimensions (6 turns, 6 slides), beside the plain loop with
// library functions, in one run; the fork's own chain; two threads. README.md says how the figures are read.
#include <benchmark/benchmark.h>

#include <array>
#include <cmath>
#include <thread>

#include "layout/as_built.h"
#include "layout_scene.h"
#include "study/tolerance.h"

namespace {

using namespace halfround;
using bike::Vec3;

constexpr std::uint64_t kDraws = 1'000'000;

bike::Chain arm() {
  bike::Chain chain;
  bike::Limb limb;
  limb.end = Vec3(45, 50, -400);
  const Vec3 axes[] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.6, 0.8, 0}, {0, 0.6, 0.8}, {0.8, 0, 0.6}};
  for (std::size_t i = 0; i < 12; ++i) {
    const bool turn = i % 2 == 0;
    chain.dimensions.push_back({std::string(1, static_cast<char>('a' + i)), "", turn});
    limb.steps.push_back({turn ? bike::Step::Motion::turn : bike::Step::Motion::slide, i, 1, axes[i / 2],
                          Vec3(5, 3, -30.0 * static_cast<double>(i))});
  }
  chain.limbs = {limb};
  chain.measures = {bike::Measure::end_x, bike::Measure::end_y, bike::Measure::end_z};
  return chain;
}

study::TolerancePlan plan_of(const bike::Chain& chain, study::Code code, bool hold_each = false) {
  study::Tolerances t;
  for (const auto& d : chain.dimensions) t.dimensions.push_back({d.name, d.angle ? 0.005 : 0.3});
  return *study::plan_tolerance(chain, t, {.draws = kDraws, .hold_each = hold_each, .code = code});
}

/// xoshiro256++. [source: Blackman and Vigna 2019, public domain]
struct Xoshiro {
  std::array<std::uint64_t, 4> s{1, 2, 3, 4};
  static std::uint64_t rotl(std::uint64_t x, int k) { return (x << k) | (x >> (64 - k)); }
  double operator()() {
    const std::uint64_t result = rotl(s[0] + s[3], 23) + s[0], t = s[1] << 17;
    s[2] ^= s[0], s[3] ^= s[1], s[1] ^= s[2], s[0] ^= s[3], s[2] ^= t, s[3] = rotl(s[3], 45);
    return (static_cast<double>(result >> 11) + 0.5) * 0x1p-53;
  }
};

/// The same chain, histogram and least and most, one draw after the other.
std::uint64_t plain_loop(const study::TolerancePlan& plan, std::uint64_t draws,
                         std::vector<std::uint64_t>& counts) {
  const auto& chain = std::get<bike::Chain>(plan.model);
  const auto& limb = chain.limbs[0];
  Xoshiro random;
  std::array<double, 3> least{1e9, 1e9, 1e9}, most{-1e9, -1e9, -1e9};
  for (std::uint64_t i = 0; i < draws; ++i) {
    std::array<double, 12> off;
    for (std::size_t k = 0; k < 12; k += 2) {
      const double r = std::sqrt(-2 * std::log(random())), a = 2 * base::kPi * random();
      off[k] = plan.scale[k] * r * std::cos(a), off[k + 1] = plan.scale[k + 1] * r * std::sin(a);
    }
    double x = limb.end.x(), y = limb.end.y(), z = limb.end.z();
    for (std::size_t k = 12; k-- > 0;) {
      const auto& q = limb.steps[k];
      const Vec3& a = q.axis;
      if (q.motion == bike::Step::Motion::slide) {
        x += off[k] * a.x(), y += off[k] * a.y(), z += off[k] * a.z();
        continue;
      }
      const double s = std::sin(off[k]), v = 1 - std::cos(off[k]);
      const double px = x - q.through.x(), py = y - q.through.y(), pz = z - q.through.z();
      const double wx = a.y() * pz - a.z() * py, wy = a.z() * px - a.x() * pz, wz = a.x() * py - a.y() * px;
      x += s * wx + v * (a.y() * wz - a.z() * wy);
      y += s * wy + v * (a.z() * wx - a.x() * wz);
      z += s * wz + v * (a.x() * wy - a.y() * wx);
    }
    const std::array<double, 3> out{x, y, z};
    for (std::size_t m = 0; m < 3; ++m) {
      least[m] = std::min(least[m], out[m]), most[m] = std::max(most[m], out[m]);
      const double at = (out[m] - plan.start[m]) * plan.bins_a_unit[m];
      const auto bin =
          static_cast<std::size_t>(std::clamp(at, 0.0, static_cast<double>(study::kFineBins) - 1));
      ++counts[m * study::kFineBins + bin];
    }
  }
  return counts[study::kFineBins / 2];
}

void per_draw(benchmark::State& state, double draws) {
  state.counters["draws_a_second"] = benchmark::Counter(draws, benchmark::Counter::kIsIterationInvariantRate);
}

void scalar_libm(benchmark::State& state) {
  const auto plan = plan_of(arm(), study::Code::plain);
  std::vector<std::uint64_t> counts(3 * study::kFineBins);
  for (auto _ : state) benchmark::DoNotOptimize(plain_loop(plan, kDraws, counts));
  per_draw(state, kDraws);
}
BENCHMARK(scalar_libm)->Unit(benchmark::kMillisecond);

void chain_of_twelve(benchmark::State& state, study::Code code) {
  if (!study::can_run(code)) return state.SkipWithError("this processor does not have it");
  const auto plan = plan_of(arm(), code);
  for (auto _ : state) benchmark::DoNotOptimize(study::count(plan, 0, kDraws).draws);
  per_draw(state, kDraws);
}
BENCHMARK_CAPTURE(chain_of_twelve, plain, study::Code::plain)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(chain_of_twelve, avx2, study::Code::avx2)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(chain_of_twelve, avx512, study::Code::avx512)->Unit(benchmark::kMillisecond);

void chain_of_twelve_threads(benchmark::State& state) {
  const auto plan = plan_of(arm(), study::best_code());
  for (auto _ : state) {
    study::Tally a, b;
    std::thread other([&] { b = study::count(plan, kDraws / 2, kDraws); });
    a = study::count(plan, 0, kDraws / 2);
    other.join();
    benchmark::DoNotOptimize(study::merged(std::move(a), b).draws);
  }
  per_draw(state, kDraws);
}
BENCHMARK(chain_of_twelve_threads)->Unit(benchmark::kMillisecond)->UseRealTime();

void deviates_only(benchmark::State& state) {
  const std::vector<study::Spread> spreads(12, study::Spread::normal);
  std::vector<study::DeviateBlock> unit(12);
  std::uint64_t first = 0;
  for (auto _ : state) {
    study::draw_block(1, first += study::kBlock, spreads, study::best_code(), unit);
    benchmark::DoNotOptimize(unit[11][0]);
  }
  per_draw(state, study::kBlock);
}
BENCHMARK(deviates_only);

void whole_fork(benchmark::State& state, std::uint64_t draws) {
  const auto intent = layout::scene();
  const auto chain = layout::as_built(intent, *layout::lay_out(intent));
  study::Tolerances t;
  for (const auto& s : layout::shop_tolerances(chain)) t.dimensions.push_back({s.of, s.plus_minus});
  for (auto _ : state) benchmark::DoNotOptimize(study::tolerance(chain, t, {.draws = draws})->draws);
  per_draw(state, static_cast<double>(draws));
}
BENCHMARK_CAPTURE(whole_fork, while_editing, 20'000)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(whole_fork, for_a_sheet, 200'000)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
