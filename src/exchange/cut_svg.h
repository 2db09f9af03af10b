// A cut drawing as SVG for laser and vinyl cutters: outlines only, one group a layer, millimetres.
#pragma once

#include <string>

#include "exchange/cut_drawing.h"
#include "shop/shop.h"

namespace halfround::exchange {

/// Groups "cut", "mark", "check" in this order; no words, which a cutter would cut. Arcs are arcs.
///   within  0.0001 mm
[[nodiscard]] std::string to_cut_svg(const CutDrawing& drawing, const shop::CutLines& lines = {});

}  // namespace halfround::exchange
