// A cut drawing as DXF, release 12 (AC1009): what every cutter's program reads.
// Layers: CUT what is cut through, MARK what is scribed, TEXT words, CHECK the square to measure.
#pragma once

#include <string>

#include "exchange/cut_drawing.h"
#include "shop/shop.h"

namespace halfround::exchange {

/// The drawing as DXF text. Contours are closed POLYLINEs in cutting order, arcs by their bulge; a circle is
/// a CIRCLE. The header says millimetres ($INSUNITS 4, $MEASUREMENT 1) and a line of text does too.
///   within  1e-6 mm, a bulge 1e-9
///   source  the published group codes of release 12 [from memory]; tests/outside/exchange has it read by
///   others
[[nodiscard]] std::string to_dxf(const CutDrawing& drawing, const shop::CutLines& lines = {});

}  // namespace halfround::exchange
