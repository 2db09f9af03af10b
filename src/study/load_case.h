// The load cases that published fork tests ask for, as rows of data with their source, and the builder's own.
// Frame F: forces as they act on the fork, +x forward, +z up the steering axis.
#pragma once

#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/maths.h"
#include "base/words.h"
#include "bike/part.h"
#include "study/words.h"

namespace halfround::study {

using base::Vec3;

/// How the load is brought in.
enum class LoadKind {
  force,   ///< a force at the axle or at a place on a member
  brake,   ///< a braking force at the tyre, held by the calliper's mount and the axle
  impact,  ///< a falling mass; the force is found from its energy and the stiffness
  twist,   ///< a couple about the steering axis at the crown, given as force.z() in N mm
};

/// How often and which way.
enum class Cycle {
  once,       ///< static: judged against yield
  reversed,   ///< to and fro: the whole stress is the amplitude
  pulsating,  ///< on and off: half the stress is the mean, half the amplitude
};

/// The published ones, as a job names them to leave one out.
enum class PublishedLoad { static_bending, bending_fatigue, brake_static, brake_fatigue, impact };
inline constexpr std::array<base::Word<PublishedLoad>, 5> kPublishedLoads{
    {{PublishedLoad::static_bending, "static bending", "static bending"},
     {PublishedLoad::bending_fatigue, "bending fatigue", "bending fatigue"},
     {PublishedLoad::brake_static, "disc brake, static", "disc brake, static"},
     {PublishedLoad::brake_fatigue, "disc brake, fatigue", "disc brake, fatigue"},
     {PublishedLoad::impact, "rearward impact", "rearward impact"}}};
static_assert(base::complete(kPublishedLoads));

struct LoadCase {
  std::string name;  ///< "static bending"
  LoadKind kind = LoadKind::force;
  Cycle cycle = Cycle::once;
  double cycles = 0;          ///< 0 for static ones
  Vec3 force = Vec3::Zero();  ///< N; of an impact only the direction counts
  bike::Part member;          ///< where it acts; empty: at the middle of the axle
  double s = 0;               ///< along that member, mm
  double mass = 0, drop = 0;  ///< of an impact: kg, mm
  double set_limit = 0;       ///< permanent set allowed at the axle after it, mm; 0: not limited (then yield)
  std::string source;         ///< who says so
};

/// The published cases for one kind of bicycle, in the order of PublishedLoad.
///   in      left_out  those the builder leaves out
///   source  each row's own; the texts in force were not at hand: read docs/strength.md
[[nodiscard]] std::vector<LoadCase> published_cases(TestedAs type, bool disc,
                                                    std::span<const PublishedLoad> left_out = {});

/// Arm of the brake test for a wheel, mm.
///   in      bead_seat  mm
///   source  TBIS 15194:2019 Table 21: 24 in 305, 26 in 330, 650b 349, 700C 368; others half the outside
///           diameter
[[nodiscard]] double brake_arm(double bead_seat, double outside_diameter);

}  // namespace halfround::study
