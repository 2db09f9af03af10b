// The fork on the surface plate, from its real outline. Frame P, mm.
#pragma once

#include "drawing/fork_outline.h"
#include "sheet/measuring_plan.h"
#include "sheet/on_paper.h"

namespace halfround::sheet {

/// The fork held one way, as large as the box allows, with the marks of its measures. Not to scale.
[[nodiscard]] Group plate_picture(const drawing::Drawing& drawing, Held held, const Box& box);

}  // namespace halfround::sheet
