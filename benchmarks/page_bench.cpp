// What a typed digit asks of the engine: the text read, the fork laid out and mitred, its studies, the view
// as bytes. The island's example, as the page's server works it out. README.md says how the figures are read.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <fstream>
#include <sstream>

#include "job/edit.h"
#include "job/intent.h"
#include "job/read.h"
#include "layout/lay_out.h"
#include "serve/engine.h"
#include "serve/view_frame.h"
#include "sheet/table_view.h"
#include "solve/solve.h"
#include "study/mitre.h"

namespace {

using namespace halfround;

const std::string& text() {
  static const std::string all = [] {
    std::ostringstream out;
    out << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml").rdbuf();
    return out.str();
  }();
  return all;
}

void fields(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(job::fields_of(text(), "job"));
}
BENCHMARK(fields)->Unit(benchmark::kMicrosecond);

void edit(benchmark::State& state) {
  for (auto _ : state)
    benchmark::DoNotOptimize(job::edited_text(text(), {{"hub.over_locknut", "101"}}, "job"));
}
BENCHMARK(edit)->Unit(benchmark::kMicrosecond);

void read(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(job::read_job(text(), "job"));
}
BENCHMARK(read)->Unit(benchmark::kMicrosecond);

void lay_out(benchmark::State& state) {
  const auto job = job::read_job(text(), "job");
  const auto intent = job::intent_of(*job);
  for (auto _ : state) benchmark::DoNotOptimize(layout::lay_out(*intent));
}
BENCHMARK(lay_out)->Unit(benchmark::kMicrosecond);

void mitres(benchmark::State& state) {
  const auto job = job::read_job(text(), "job");
  const auto fork = layout::lay_out(*job::intent_of(*job));
  for (auto _ : state) benchmark::DoNotOptimize(study::mitres(fork->assembly, {}));
}
BENCHMARK(mitres)->Unit(benchmark::kMicrosecond);

void solve_light(benchmark::State& state) {
  const auto job = job::read_job(text(), "job");
  for (auto _ : state) benchmark::DoNotOptimize(solve::solve(*job, {.changes = false, .draws = 2000}));
}
BENCHMARK(solve_light)->Unit(benchmark::kMicrosecond);

void drawn(benchmark::State& state) {
  const auto job = job::read_job(text(), "job");
  const auto answer = solve::solve(*job, {.changes = false, .draws = 2000});
  for (auto _ : state)
    benchmark::DoNotOptimize(
        sheet::table_view(*job, *answer, state.range(0) ? sheet::Show::side : sheet::Show::front));
}
BENCHMARK(drawn)->Arg(0)->Arg(1)->Unit(benchmark::kMicrosecond);

/// What stands on the screen first: all that the server does for a page that goes ahead.
void page_ahead(benchmark::State& state) {
  int n = 0;
  serve::Look look;
  look.shows = {sheet::Show::front, sheet::Show::side};
  for (auto _ : state) {
    const std::string typed = fmt::format("{:.2f}", 100 + 0.01 * (++n % 500));
    serve::Worked worked;
    worked.text = *job::edited_text(text(), {{"hub.over_locknut", typed}}, "job");
    worked.fields = *job::fields_of(worked.text, "job");
    worked.job = *job::read_job(worked.text, "job");
    worked.answer = *solve::laid_out(*worked.job);
    benchmark::DoNotOptimize(serve::page_frame(serve::looked_at(worked, look), n));
  }
}
BENCHMARK(page_ahead)->Unit(benchmark::kMicrosecond);

void rest_of_the_view(benchmark::State& state) {
  serve::Engine engine{shop::Shop{}};
  const auto worked = engine.work(text(), true);
  const std::vector<sheet::TableView> drawn = serve::looked_at(*worked, {});
  for (auto _ : state) benchmark::DoNotOptimize(serve::view_frame(*worked, drawn, {}, false));
}
BENCHMARK(rest_of_the_view)->Unit(benchmark::kMicrosecond);

}  // namespace

BENCHMARK_MAIN();
