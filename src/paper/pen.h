// What strokes and inks mean on paper: line widths, dash patterns, colours. The one place where a backend
// asks.
#pragma once

#include <string>
#include <vector>

#include "paper/display.h"

namespace halfround::paper {

/// No letter on paper is smaller, mm of cap height: what tired eyes read under a bench light [common
/// practice].
inline constexpr double kLeastLetter = 2;

/// Colour, each channel 0..1.
struct Rgb {
  double red = 0, green = 0, blue = 0;
};

/// Width of a line in mm: 0.5, 0.35, 0.18 [ISO 128-20 line groups, from memory].
[[nodiscard]] double width_of(Weight weight);

/// Dash and gap lengths in mm, dash first; empty for a solid line. Proportions follow ISO 128-20 (12d and 24d
/// dashes, 3d and 4d gaps) with d never below 0.25 mm, so that thin chain lines keep visible dots [from
/// memory].
[[nodiscard]] std::vector<double> pattern_of(const Stroke& stroke);

[[nodiscard]] Rgb colour_of(Ink ink);

/// The ink thinned with paper white: `share` 1 is the ink, 0 is the paper.
[[nodiscard]] Rgb tint_of(Ink ink, double share);

/// "#2b2b2b"
[[nodiscard]] std::string hex(const Rgb& colour);

}  // namespace halfround::paper
