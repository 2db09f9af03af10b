// The handling study: does the bicycle, rider and all, hold itself upright with no hand on the bars, and
// between which speeds? The linear benchmark bicycle of Meijaard, Papadopoulos, Ruina and Schwab 2007 (Proc.
// R. Soc. A 463, 1955-1982): two wheels that roll without slip, a rear frame with a rigid rider, a front
// frame. What it says and what it can't say: docs/handling.md. Frame of the model (its own): origin at the
// rear wheel's contact, +x forward, +y right, +z down; m, kg, s.
#pragma once

#include <Eigen/Core>
#include <array>
#include <complex>
#include <optional>
#include <vector>

namespace halfround::study {

/// A rigid body in the model's frame.
struct Body {
  double mass = 0;                                                    ///< kg
  double x_m = 0, z_m = 0;                                            ///< centre of gravity
  double ixx_kg_m2 = 0, iyy_kg_m2 = 0, izz_kg_m2 = 0, ixz_kg_m2 = 0;  ///< about the centre of gravity
};

/// A wheel; its inertia about an upright axis is that about the fore-and-aft one.
struct WheelBody {
  double radius_m = 0;
  double mass = 0;  ///< kg
  double ixx_kg_m2 = 0, iyy_kg_m2 = 0;
};

/// The model's parameters, by the paper's table 1.
struct BenchmarkBicycle {
  double wheelbase_m = 0, trail_m = 0;
  double steer_tilt = 0;  ///< of the steering axis back from upright, rad: a quarter turn less the head angle
  double gravity_m_s2 = 9.81;
  WheelBody rear, front;
  Body body;   ///< rear frame with rider
  Body steer;  ///< front frame: fork, stem, handlebar, without the wheel
};

/// M q'' + v C1 q' + (g K0 + v^2 K2) q = 0 with q = (lean, steer): lean to the right, steer to the right,
/// rad.
struct LinearModel {
  Eigen::Matrix2d M, C1, K0, K2;
  double gravity_m_s2 = 9.81;
};

///   in      parameters; masses and wheelbase above 0
///   source  the paper's appendix A [from memory], held to its printed matrices in tests/outside
[[nodiscard]] LinearModel linear_model(const BenchmarkBicycle& bicycle);

/// The four eigenvalues at a speed, 1/s, by falling real part; of a pair the one with +imaginary part first.
[[nodiscard]] std::array<std::complex<double>, 4> eigenvalues(const LinearModel& model, double speed_m_s);

/// Real parts of all eigenvalues below 0: what disturbs the bicycle dies out. By Routh's and Hurwitz's signs.
[[nodiscard]] bool steady_at(const LinearModel& model, double speed_m_s);

/// Speed from which on the weave (lean and steer swinging, some seconds a swing) dies out: the highest speed
/// above 0 at which a pair of eigenvalues lies on the imaginary axis, m/s; nothing where there is none.
[[nodiscard]] std::optional<double> weave_speed_m_s(const LinearModel& model);

/// Speed at which an eigenvalue passes 0, m/s: above it an ordinary bicycle falls slowly to one side.
[[nodiscard]] std::optional<double> capsize_speed_m_s(const LinearModel& model);

/// Speeds between which the bicycle is steady hands off.
struct SpeedRange {
  double from_m_s = 0;
  std::optional<double> to_m_s;  ///< nothing: no end
};
[[nodiscard]] std::optional<SpeedRange> steady_range(const LinearModel& model);

/// What a builder can weigh and measure, house units (mm, kg, rad); places stand on level ground.
struct BicycleParts {
  double wheelbase = 0;
  double head_angle = 0, offset = 0;
  double rear_radius = 0, front_radius = 0;
  double rider_mass = 0, rider_ahead = 0, rider_height = 0;   ///< centre of gravity ahead of the rear axle
  double frame_mass = 0, frame_ahead = 0, frame_height = 0;   ///< rear frame without wheel; likewise
  double front_mass = 0, front_behind = 0, front_height = 0;  ///< fork and bars; behind the front axle
  double rear_wheel_mass = 0, front_wheel_mass = 0;
};

/// The study's door: mm to m, and the inertias nobody measures estimated from the masses (docs/handling.md).
[[nodiscard]] BenchmarkBicycle benchmark_of(const BicycleParts& parts);

/// How steady the bicycle is with one offset.
struct Steadiness {
  double offset = 0, trail = 0, wheelbase = 0;  ///< mm
  std::optional<double> weave_m_s, capsize_m_s;
  std::optional<SpeedRange> steady;
};

/// By how much a speed goes astray when what nobody measures exactly does, m/s: the root of the sum of
/// squares of one guess at a time. The guesses' errors are our own judgement: docs/handling.md.
struct Uncertainty {
  std::optional<double> weave_m_s, capsize_m_s;  ///< nothing where the speed comes or goes with a guess
};

struct SpeedRow {
  double speed_m_s = 0;
  std::array<std::complex<double>, 4> per_s;  ///< eigenvalues, 1/s
};

struct Handling {
  double mass = 0;                             ///< all of it, rider included, kg
  double centre_ahead = 0, centre_height = 0;  ///< of all of it: ahead of the rear axle, above ground, mm
  Steadiness drawn;                            ///< as the fork is drawn
  Uncertainty by_guesses;
  std::vector<Steadiness> by_offset;  ///< 5 mm less, as drawn, 5 mm more
  std::vector<SpeedRow> by_speed;     ///< 0, 1 ... 10 m/s
  std::vector<SpeedRow> curve;        ///< the same every 0.1 m/s, fine enough to draw
};

/// The effect of another offset: the frame stays as it is, so the axle goes forward and up square to the
/// steering axis and the wheelbase with it; that the frame then nods by less than 0.1 deg is left out.
///   in   parts  masses, wheelbase and radii above 0
[[nodiscard]] Handling handling(const BicycleParts& parts);

}  // namespace halfround::study
