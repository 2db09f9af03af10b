// Maths aliases and the house units. Frame: none. Inside Halfround every plain double is in house units:
// mm, N, N·mm, MPa, kg, rad. Anything else carries a suffix in its name (head_angle_deg).
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <numbers>

namespace halfround::base {

using Vec2 = Eigen::Vector2d;
using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;
using Pose = Eigen::Isometry3d;  ///< X_AB: the pose of frame B in frame A; p_A = X_AB * p_B

inline constexpr double kPi = std::numbers::pi;
inline constexpr double kMmPerInch = 25.4;
inline constexpr double kRadPerDeg = kPi / 180.0;

[[nodiscard]] constexpr double to_deg(double rad) { return rad / kRadPerDeg; }
[[nodiscard]] constexpr double to_rad(double deg) { return deg * kRadPerDeg; }

/// Literals that return house doubles: 28.6_mm, 1.125_in, 72.5_deg.
namespace literals {
consteval double operator""_mm(long double v) { return static_cast<double>(v); }
consteval double operator""_mm(unsigned long long v) { return static_cast<double>(v); }
consteval double operator""_in(long double v) { return static_cast<double>(v) * kMmPerInch; }
consteval double operator""_in(unsigned long long v) { return static_cast<double>(v) * kMmPerInch; }
consteval double operator""_deg(long double v) { return to_rad(static_cast<double>(v)); }
consteval double operator""_deg(unsigned long long v) { return to_rad(static_cast<double>(v)); }
}  // namespace literals

/// The unit vector (cos u, sin u) of a clock angle; exact at the quarter turns.
///   in   u  rad, any finite value
[[nodiscard]] Vec2 unit_at(double u);

}  // namespace halfround::base
