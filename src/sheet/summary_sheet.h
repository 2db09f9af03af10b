// The summary: what was asked for and what came out, the cut list, what to note, the cautions.
// Lengths mm, angles degrees; not to scale.
#pragma once

#include "job/job.h"
#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"

namespace halfround::sheet {

/// One page, more only where the notes need them. Assumed values are italic.
///   in   title  `scale` and numbers are set here
[[nodiscard]] Sheet summary(const job::Job& job, const solve::Answer& answer, Paper paper,
                            const TitleBlock& title);

}  // namespace halfround::sheet
