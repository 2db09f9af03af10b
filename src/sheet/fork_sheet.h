// The full-size fork drawing: front view in the blades' plane and side view, 1:1, with what the builder
// measures.
#pragma once

#include "job/job.h"
#include "paper/page_furniture.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"

namespace halfround::sheet {

/// One large page, furnished. The front view looks from ahead square to the plane of the left blade, so that
/// a blade can be laid on it; the side view looks from the rider's left.
[[nodiscard]] Page fork_page(const job::Job& job, const solve::Answer& answer, const TitleBlock& title);

}  // namespace halfround::sheet
