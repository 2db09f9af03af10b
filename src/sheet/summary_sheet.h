// The summary: what was asked for and what came out, the cut list, what to note, the cautions.
// Lengths mm, angles degrees; not to scale.
#pragma once

#include "job/job.h"
#include "job/solve.h"
#include "sheet/display.h"
#include "sheet/page_furniture.h"
#include "sheet/tile.h"

namespace halfround::sheet {

/// One page, more only where the notes need them. Assumed values are italic.
///   in   title  `scale` and numbers are set here
[[nodiscard]] Sheet summary(const job::Job& job, const job::Answer& answer, Paper paper,
                            const TitleBlock& title);

}  // namespace halfround::sheet
