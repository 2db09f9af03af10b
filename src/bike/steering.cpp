#include "bike/steering.h"

#include <cmath>

namespace halfround::bike {

double normal_trail(double head_angle, double offset, double wheel_radius) {
  return wheel_radius * std::cos(head_angle) - offset;
}

double trail(double head_angle, double offset, double wheel_radius) {
  return normal_trail(head_angle, offset, wheel_radius) / std::sin(head_angle);
}

double wheel_flop(double head_angle, double offset, double wheel_radius) {
  return normal_trail(head_angle, offset, wheel_radius) * std::cos(head_angle);
}

}  // namespace halfround::bike
