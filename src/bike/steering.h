// What the front wheel does under the steering axis. Bike frame; level ground, upright, steered straight
// ahead.
#pragma once

namespace halfround::bike {

/// How far the contact point lies behind the point where the steering axis meets the ground, mm.
///   in      head_angle    between steering axis and ground, rad, 0 < head_angle < pi
///           offset        of the axle ahead of the steering axis, square to it, mm
///           wheel_radius  loaded, mm
///   source  (r cos H - f) / sin H [source: Moore, dissertation UC Davis 2012]
[[nodiscard]] double trail(double head_angle, double offset, double wheel_radius);

/// The same distance measured square to the steering axis, mm: r cos H - f. [derived]
[[nodiscard]] double normal_trail(double head_angle, double offset, double wheel_radius);

/// How far the head sinks for a small turn of the bars, in the usual measure trail * sin H * cos H, mm.
///   source  [from memory: a general encyclopaedia's article on bicycle geometry]
[[nodiscard]] double wheel_flop(double head_angle, double offset, double wheel_radius);

}  // namespace halfround::bike
