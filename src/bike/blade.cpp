#include "bike/blade.h"

#include <cmath>

namespace halfround::bike {

namespace {

bool fore_and_aft(const shape::Run& run) {
  return run.angle != 0 && std::abs(std::sin(run.toward)) > 0.5;
}

/// Turns the line about y so that its upper run stands in the plane x = 0.
shape::Centreline upright(const shape::Centreline& line, double s_upper) {
  const shape::Frame f = line.at(s_upper);
  const double lean = std::atan2(f.t.x(), f.t.z());
  base::Pose X = base::Pose::Identity();
  X.linear() = Eigen::AngleAxisd(-lean, Vec3::UnitY()).toRotationMatrix();
  X.translation() = Vec3(-(X.linear() * f.c).x(), 0, 0);
  return line.moved(X);
}

}  // namespace

bool has_forward_bend(const Blade& blade) {
  for (const shape::Run& run : blade.runs) {
    if (fore_and_aft(run)) return true;
  }
  return false;
}

shape::Tube on_bench(const Blade& blade, double rake_scale) {
  if (!blade.traced.empty()) {
    return {shape::Centreline::through(blade.traced, Vec3::UnitY()), shape::Profile(blade.stations)};
  }
  std::vector<shape::Run> runs = blade.runs;
  double s = 0, s_upper = 0;
  for (shape::Run& run : runs) {
    s += run.length;
    if (!fore_and_aft(run)) continue;
    run.angle *= rake_scale;
    s_upper = s;
  }
  const auto line = shape::Centreline::from_runs(runs, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitY());
  return {upright(line, s_upper), shape::Profile(blade.stations)};
}

}  // namespace halfround::bike
