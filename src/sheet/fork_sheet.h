// The full-size fork drawing: front view in the blades' plane and side view, 1:1, with what the builder
// measures.
#pragma once

#include "job/job.h"
#include "job/solve.h"
#include "sheet/display.h"
#include "sheet/page_furniture.h"

namespace halfround::sheet {

/// One large page, furnished. The front view looks from ahead square to the plane of the left blade, so that
/// a blade can be laid on it; the side view looks from the rider's left.
[[nodiscard]] Page fork_page(const job::Job& job, const job::Answer& answer, const TitleBlock& title);

}  // namespace halfround::sheet
