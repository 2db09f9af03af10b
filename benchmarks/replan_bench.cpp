// Mending a plan with all its ways, beside one OpenCASCADE section of the bent case, in one run. README.md
// says how the figures are read.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <fstream>
#include <sstream>

#include "job/read.h"
#include "mitre_scene.h"
#include "outside/opencascade/occt_tube.h"
#include "replan/replan.h"

namespace {

using namespace halfround;

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

job::Job scene(const char* more) {
  std::ostringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml").rdbuf() << "\n" << more;
  return *job::read_job(text.str(), "island");
}

void mend(benchmark::State& state, const job::Job& job) {
  std::size_t ways = 0;
  for (auto _ : state) {
    const auto plan = replan::replan(job);
    ways = plan->ways.size() + plan->outside.size();
  }
  state.counters["ways"] = static_cast<double>(ways);
  state.counters["times_ours"] = 0;
}

/// One section; the counter is its time over one mending, both taken here in turn, median of nine pairs.
void one_section(benchmark::State& state, const job::Job& job, const TopoDS_Shape& member,
                 const shape::Tube& steerer) {
  const TopoDS_Shape target = occt::cylinder(steerer);
  for (auto _ : state) {
    const TopoDS_Shape curve = occt::section(member, target, false);
    benchmark::DoNotOptimize(curve.IsNull());
  }
  std::vector<double> ratios;
  for (int i = 0; i < 9; ++i) {
    const double theirs = once([&] { occt::section(member, target, false); });
    const double ours = once([&] { benchmark::DoNotOptimize(replan::replan(job)->ways.data()); });
    ratios.push_back(theirs / ours);
  }
  std::sort(ratios.begin(), ratios.end());
  state.counters["times_ours"] = ratios[ratios.size() / 2];
}

}  // namespace

int main(int argc, char** argv) {
  const job::Job upper = scene("[done.blades.left]\nshort_by = 1.4\n");
  const job::Job lower = scene("[done.blades.left]\nshort_by = 1.4\nshort_at = \"lower end\"\n");
  const job::Job both = scene("[done.blades.left]\nshort_by = 1.4\n[done.blades.right]\nshort_by = 0\n");
  const auto bent = shape::bent_oval_scene();
  benchmark::RegisterBenchmark("island/short_at_upper_end", mend, upper)->Unit(benchmark::kMillisecond);
  benchmark::RegisterBenchmark("island/short_at_lower_end", mend, lower)->Unit(benchmark::kMillisecond);
  benchmark::RegisterBenchmark("island/both_finished", mend, both)->Unit(benchmark::kMillisecond);
  benchmark::RegisterBenchmark("bent_oval/section_revolved", one_section, lower, occt::revolved(bent.member),
                               bent.target)
      ->Unit(benchmark::kMillisecond)
      ->MinTime(0.5);
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
}
