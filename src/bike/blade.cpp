#include "bike/blade.h"

#include <algorithm>
#include <cmath>
#include <utility>

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

namespace {

/// The stock that the shape is a part of: rings and all moved up by what lies below it.
shape::Tube whole(const Blade& blade, const shape::Centreline& line) {
  std::vector<shape::Station> stations = blade.stations;
  for (shape::Station& q : stations) q.s += blade.below_shape;
  const double above = std::max(0.0, blade.stock_length - blade.below_shape - line.length());
  return {line.lengthened(blade.below_shape, above), shape::Profile(std::move(stations))};
}

}  // namespace

shape::Tube on_bench(const Blade& blade, double rake_scale) {
  if (!blade.traced.empty()) {
    return whole(blade, shape::Centreline::through(blade.traced, Vec3::UnitY()));
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
  return whole(blade, upright(line, s_upper));
}

}  // namespace halfround::bike
