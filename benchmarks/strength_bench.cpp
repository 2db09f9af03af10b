// The strength study: a whole fork, and the block solver beside Eigen's SimplicialLDLT with its pattern kept
// and beside a CalculiX process (U1 beams), five load cases, one run. README.md says how the figures are
// read.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <Eigen/SparseCholesky>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "beam_scene.h"
#include "layout_scene.h"
#include "study/strength.h"

namespace {

using namespace halfround;

study::StrengthOptions with_brake() {
  study::StrengthOptions o;
  o.brake = study::Brake{};
  o.brake->arm = 330;
  return o;
}

void whole_strength_study(benchmark::State& state) {
  const auto fork = layout::lay_out(layout::scene());
  const study::StrengthOptions options = with_brake();
  for (auto _ : state) benchmark::DoNotOptimize(study::strength(fork->assembly, options));
}
BENCHMARK(whole_strength_study)->Unit(benchmark::kMicrosecond);

/// Element matrices are the same for both and made outside; assembling, factoring and solving are timed.
void our_blocks(benchmark::State& state) {
  const study::BeamFrame frame = study::looped_frame(static_cast<int>(state.range(0)));
  const study::BeamPattern pattern(frame);
  const auto loads = study::looped_loads(frame);
  study::BeamWorkspace room;
  for (auto _ : state) benchmark::DoNotOptimize(study::solve(frame, pattern, 5, loads, room));
}
BENCHMARK(our_blocks)->Arg(60)->Arg(200)->Unit(benchmark::kMicrosecond);

/// The pattern is analysed once, and the matrix' cells are written straight to their places, as a caller who
/// keeps the pattern would.
void eigen_pattern_kept(benchmark::State& state) {
  const study::BeamFrame frame = study::looped_frame(static_cast<int>(state.range(0)));
  const study::EigenFrame eigen(frame);
  Eigen::SparseMatrix<double> K = eigen.matrix();
  const study::EigenPlaces places(frame, eigen, K);
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> ldlt;
  ldlt.analyzePattern(K);
  const auto loads = study::looped_loads(frame);
  for (auto _ : state) {
    places.fill(K);
    ldlt.factorize(K);
    benchmark::DoNotOptimize(Eigen::MatrixXd(ldlt.solve(eigen.right_sides(loads, 5))));
  }
}
BENCHMARK(eigen_pattern_kept)->Arg(60)->Arg(200)->Unit(benchmark::kMicrosecond);

/// Five steps on the same nodes, one section an element: start, read, solve, print.
void calculix_process(benchmark::State& state) {
  if (std::system("command -v ccx > /dev/null 2>&1") != 0) {
    state.SkipWithError("CalculiX is missing (Debian package calculix-ccx)");
    return;
  }
  const study::BeamFrame frame = study::looped_frame(static_cast<int>(state.range(0)));
  const std::string folder = std::filesystem::temp_directory_path() / "halfround-calculix";
  std::filesystem::create_directories(folder);
  {
    std::ofstream out(folder + "/beams.inp");
    out << "*NODE\n";
    for (std::size_t i = 0; i < frame.nodes.size(); ++i) {
      const auto& p = frame.nodes[i].point;
      out << fmt::format("{}, {:.9f}, {:.9f}, {:.9f}\n", i + 1, p.x(), p.y(), p.z());
    }
    out << "*USER ELEMENT, TYPE=U1, NODES=2, INTEGRATION POINTS=2, MAXDOF=6\n";
    for (std::size_t i = 0; i < frame.elements.size(); ++i) {
      const auto& e = frame.elements[i];
      const study::BeamSection q = study::round_bar(24, 22);
      out << fmt::format("*ELEMENT, TYPE=U1, ELSET=E{}\n{}, {}, {}\n", i, i + 1, e.a + 1, e.b + 1);
      out << fmt::format("*BEAM SECTION, ELSET=E{}, MATERIAL=M, SECTION=GENERAL\n{}, {}, 0, {}, 0.53\n", i,
                         q.area, q.I_m, q.I_b);
      const study::Vec3 side = e.arm.unitOrthogonal();
      out << fmt::format("{:.6f}, {:.6f}, {:.6f}\n", side.x(), side.y(), side.z());
    }
    out << "*MATERIAL, NAME=M\n*ELASTIC\n205000, 0.3\n*NSET, NSET=TIP\n1\n*BOUNDARY\n5, 1, 3\n6, 1, 2\n6, 6, "
           "6\n";
    for (int load = 1; load <= 5; ++load) {
      out << fmt::format("*STEP\n*STATIC\n*CLOAD, OP=NEW\n1, {}, {}\n*NODE PRINT, NSET=TIP\nU\n*END STEP\n",
                         load <= 3 ? load : load - 3, 1000 * load);
    }
  }
  const std::string command = fmt::format("cd '{}' && OMP_NUM_THREADS=1 ccx beams > beams.log 2>&1", folder);
  for (auto _ : state) {
    if (std::system(command.c_str()) != 0) state.SkipWithError("ccx did not run");
  }
  std::ifstream in(folder + "/beams.dat");
  int steps = 0;
  for (std::string line; std::getline(in, line);)
    steps += line.find("displacements") != std::string::npos ? 1 : 0;
  if (steps != 5) state.SkipWithError("ccx did not answer five steps");
}
BENCHMARK(calculix_process)->Arg(200)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace

BENCHMARK_MAIN();
