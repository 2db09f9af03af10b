// Mitres for tests and benchmarks: a steerer along +z through the origin, and tubes coming at it. Invented
// sizes.
//
//     z ^  steerer                  the member runs along d toward the steerer's axis; its mark line m lies
//     in
//       |      \                    the plane of both axes, its b is +y; `offset` shifts its axis along +y.
//       |<-------\--- d  member
#pragma once

#include <cmath>

#include "shape/cut.h"

namespace halfround::shape {

struct MitreScene {
  const char* name;
  Tube member, target;
  CutSearch search;
  double s_scribe;
  bool partial = false;  ///< some generators pass beside
};

/// Lays runs so that the member's centreline reaches the steerer's axis (shifted by `offset`) at arc length
/// s_axis.
inline Centreline scene_line(const std::vector<Run>& runs, double s_axis, double angle, double offset) {
  const Centreline flat = Centreline::from_runs(runs, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX());
  const Frame f = flat.at(s_axis);
  const Vec3 t(-std::sin(angle), 0, std::cos(angle)), m(std::cos(angle), 0, std::sin(angle));
  Mat3 from, to;
  from << f.t, f.m, f.b;
  to << t, m, t.cross(m);
  Pose X = Pose::Identity();
  X.linear() = to * from.transpose();
  X.translation() = Vec3(0, offset, 0) - X.linear() * f.c;
  return flat.moved(X);
}

inline Tube scene_steerer(double diameter = 28.6) {
  return {Centreline::from_runs({{240, 0, 0}}, Vec3(0, 0, -120), Vec3::UnitZ(), Vec3::UnitX()),
          Profile::round(diameter, 1.6)};
}

inline MitreScene straight_scene(const char* name, Profile profile, double angle_deg, double offset,
                                 bool partial = false) {
  return {name,
          {scene_line({{340, 0, 0}}, 300, base::to_rad(angle_deg), offset), std::move(profile)},
          scene_steerer(),
          {200, 380},
          240,
          partial};
}

/// 250 mm straight, then a bend at 80 mm radius that runs into the cut: 60 degrees of it up to the steerer's
/// axis.
inline MitreScene bent_scene(const char* name, Profile profile, double angle_deg, double offset,
                             bool partial = false) {
  const double arc = 80 * base::to_rad(60), past = 80 * base::to_rad(6);
  const std::vector<Run> runs{{250, 0, 0}, {arc + past, base::to_rad(66), base::kPi}};
  return {name,
          {scene_line(runs, 250 + arc, base::to_rad(angle_deg), offset), std::move(profile)},
          scene_steerer(),
          {240, 400},
          280,
          partial};
}

inline Profile scene_taper() {
  return Profile({{0, 16, 16, 0.9, nullptr}, {340, 30, 20, 0.9, nullptr}});
}

inline MitreScene round_scene() {
  return straight_scene("round", Profile::round(24, 0.9), 78, 1.5);
}
inline MitreScene taper_scene() {
  return straight_scene("straight taper, oval", scene_taper(), 78, 3);
}
inline MitreScene partial_scene() {
  return straight_scene("partial, oval taper", scene_taper(), 78, 6, true);
}
inline MitreScene wide_scene() {
  return straight_scene("partial both sides, oval", Profile({{0, 20, 34, 0.9, nullptr}}), 80, 0, true);
}
inline MitreScene bent_oval_scene() {
  return bent_scene("bent, oval", Profile({{0, 28, 20, 0.9, nullptr}}), 78, 3);
}
inline MitreScene bent_taper_scene() {
  return bent_scene("bent, oval taper", Profile({{0, 16, 16, 0.9, nullptr}, {342, 30, 20, 0.9, nullptr}}), 78,
                    3);
}
inline MitreScene bent_partial_scene() {
  return bent_scene("bent, partial", Profile({{0, 28, 20, 0.9, nullptr}}), 78, 6, true);
}

inline std::vector<MitreScene> mitre_scenes() {
  return {round_scene(),     taper_scene(),      partial_scene(),     wide_scene(),
          bent_oval_scene(), bent_taper_scene(), bent_partial_scene()};
}

}  // namespace halfround::shape
