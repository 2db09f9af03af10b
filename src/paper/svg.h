// A page as SVG in millimetres. Frame P has y up and SVG has y down: each coordinate is turned, no transform.
#pragma once

#include <string>

#include "paper/display.h"

namespace halfround::paper {

/// The page as a self-standing SVG 1.1 text: width and height in mm, viewBox in mm, groups with id and
/// aria-label, real text whose length is the one measured (textLength), so that a stand-in font keeps the
/// drawing's spacing.
///   within  0.001 mm (0.0005 rounding)
[[nodiscard]] std::string to_svg(const Page& page);

}  // namespace halfround::paper
