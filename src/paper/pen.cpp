#include "paper/pen.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfround::paper {

double width_of(Weight weight) {
  switch (weight) {
    case Weight::thick:
      return 0.5;
    case Weight::medium:
      return 0.35;
    case Weight::thin:
      break;
  }
  return 0.18;
}

std::vector<double> pattern_of(const Stroke& stroke) {
  const double d = std::max(width_of(stroke.weight), 0.25);
  switch (stroke.dash) {
    case Dash::dashed:
      return {12 * d, 3 * d};
    case Dash::chain:
      return {24 * d, 4 * d, 2 * d, 4 * d};
    case Dash::double_chain:
      return {24 * d, 4 * d, 2 * d, 4 * d, 2 * d, 4 * d};
    case Dash::solid:
      break;
  }
  return {};
}

namespace {
constexpr Rgb rgb(int value) {
  return {(value >> 16 & 255) / 255.0, (value >> 8 & 255) / 255.0, (value & 255) / 255.0};
}
}  // namespace

Rgb colour_of(Ink ink) {
  switch (ink) {
    case Ink::faint:
      return rgb(0x9a9a9a);
    case Ink::hand:
      return rgb(0x3b2a8c);
    case Ink::warning:
      return rgb(0x8a1c1c);
    case Ink::graphite:
      break;
  }
  return rgb(0x2b2b2b);
}

Rgb tint_of(Ink ink, double share) {
  const Rgb full = colour_of(ink);
  const auto mix = [&](double channel) { return 1 - std::clamp(share, 0.0, 1.0) * (1 - channel); };
  return {mix(full.red), mix(full.green), mix(full.blue)};
}

std::string hex(const Rgb& colour) {
  const auto byte = [](double channel) { return static_cast<int>(std::lround(channel * 255)); };
  return fmt::format("#{:02x}{:02x}{:02x}", byte(colour.red), byte(colour.green), byte(colour.blue));
}

}  // namespace halfround::paper
