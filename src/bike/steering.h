// How head angle, offset and wheel make trail. Lengths mm, angles rad; head angle H to the ground, offset f square to the
// steering axis, wheel radius r.
#pragma once

namespace halfround::bike {

/// Trail along the ground, c = (r cos H - f) / sin H. [source: Moore, dissertation, UC Davis 2012]
[[nodiscard]] double trail(double head_angle, double offset, double wheel_radius);
/// Trail square to the steering axis, c sin H.
[[nodiscard]] double normal_trail(double head_angle, double offset, double wheel_radius);
/// Wheel flop, c sin H cos H. [memory: encyclopaedia article on bicycle geometry]
[[nodiscard]] double wheel_flop(double head_angle, double offset, double wheel_radius);

}  // namespace halfround::bike
